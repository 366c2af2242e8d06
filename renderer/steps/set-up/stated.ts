import type { ClipOptions, SideName, StatedRim } from '../../../shared-lib/contract/review.ts';
import { nearestFrame } from '../../../shared-lib/motion/frame-times.ts';
import type { PointPx } from '../../parts/clip-figure.tsx';
import { upright } from '../../parts/ellipse.ts';
import { useDraft } from '../../parts/use-draft.ts';
import type { Followed } from '../../state/followed.ts';
import { change } from '../../state/store.ts';

export function pointAt(name: SideName, ptsS: number, { xPx, yPx }: PointPx): void {
  change('Point at the disc', (review) => {
    const side = review[name]!;
    side.options.seed = { ptsS, xPx, yPx };
    side.options.rim = null;
    side.options.sleeveEnd = null;
    side.discConfirmed = false;
  });
}

/** @param rim as drawn or found: the ruler from now on */
export function pointAtSleeveEnd(name: SideName, ptsS: number, at: PointPx, rim: StatedRim): void {
  change('Follow the sleeve’s end', (review) => {
    const side = review[name]!;
    const { proudM = null, cameraM = null } = side.options.sleeveEnd ?? {};
    side.options.sleeveEnd = { ptsS, ...at, proudM, cameraM };
    side.options.rim ??= rim;
    side.options.fixed = [];
    side.discConfirmed = true;
  });
}

/** Something drawn into the picture, while it is moved and after. */
export interface Drawn<T> {
  shown: T;
  move: (next: T) => void;
  done: () => void;
}

/** A rim whose middle is drawn farther away than this from what was followed, in its radii, is of another disc. */
const elsewhere = 0.35;

/** The rim as it was found in a frame. */
export const foundRim = ({ track, rim }: Followed, frame: number): StatedRim => ({
  ...upright(rim),
  xPx: track.xPx[frame] ?? rim.xPx,
  yPx: track.yPx[frame] ?? rim.yPx,
  ptsS: track.ptsS[frame],
});

/** @param found what is shown where nobody drew a rim */
export function useRim(
  name: SideName,
  found: StatedRim,
  ptsS: readonly number[],
  options: ClipOptions,
  frame: number,
): Drawn<StatedRim> {
  const isStated = options.rim !== null && nearestFrame(ptsS, options.rim.ptsS) === frame;
  const { shown, move, done } = useDraft<StatedRim | null>(options.rim, (next) => {
    if (!next) return;
    const away = Math.hypot(next.xPx - found.xPx, next.yPx - found.yPx) / found.aPx;
    change('Draw the rim', (review) => {
      const side = review[name]!;
      side.options.rim = next;
      side.discConfirmed = true;
      if (away > elsewhere && !side.options.sleeveEnd)
        side.options.seed = { ptsS: next.ptsS, xPx: next.xPx, yPx: next.yPx };
    });
  });
  const isMoving = shown !== options.rim;
  return { shown: shown && (isStated || isMoving) ? shown : found, move, done };
}

export type Line = NonNullable<ClipOptions['plumb']>;

export function usePlumb(
  name: SideName,
  { media, proposedPlumb }: Followed,
  options: ClipOptions,
): Drawn<Line> {
  const { widthPx, heightPx } = media;
  const anywhere: Line = [0.2 * widthPx, 0.15 * heightPx, 0.2 * widthPx, 0.85 * heightPx];
  const { shown, move, done } = useDraft<Line | null>(options.plumb, (next) => {
    if (next) change('Mark an upright', (review) => void (review[name]!.options.plumb = next));
  });
  return { shown: shown ?? proposedPlumb ?? anywhere, move, done };
}

export const plumbEnds = ([x1, y1, x2, y2]: Line): [PointPx, PointPx] => [
  { xPx: x1, yPx: y1 },
  { xPx: x2, yPx: y2 },
];
export const lineOf = ([x1, y1, x2, y2]: Line) => ({ x1, y1, x2, y2 });
