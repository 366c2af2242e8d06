import type { Crop } from '../../shared-lib/body/pose-view.ts';
import type { Landmarks } from '../../shared-lib/body/propose-joints.ts';

/** A picture and the crops of it to look in; the picture is handed over. */
export interface PoseQuestion {
  picture: ImageBitmap;
  crops: readonly Crop[];
}

/** What was seen in each crop, in their order. */
export type PoseAnswer = { kind: 'seen'; all: Landmarks[] } | { kind: 'failed'; why: string };
