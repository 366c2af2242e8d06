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
    side.discConfirmed = false;
  });
}

/** A rim whose middle is drawn farther away than this from what was followed, in its radii, is of another disc. */
const elsewhere = 0.35;

export function useRim(name: SideName, { track, rim }: Followed, options: ClipOptions, frame: number) {
  const isStated = options.rim !== null && nearestFrame(track.ptsS, options.rim.ptsS) === frame;
  const found: StatedRim = {
    ...upright(rim),
    xPx: track.xPx[frame] ?? rim.xPx,
    yPx: track.yPx[frame] ?? rim.yPx,
    ptsS: track.ptsS[frame],
  };
  const { shown, move, done } = useDraft<StatedRim | null>(options.rim, (next) => {
    if (!next) return;
    const away = Math.hypot(next.xPx - found.xPx, next.yPx - found.yPx) / found.aPx;
    change('Draw the rim', (review) => {
      const side = review[name]!;
      side.options.rim = next;
      side.discConfirmed = true;
      if (away > elsewhere) side.options.seed = { ptsS: next.ptsS, xPx: next.xPx, yPx: next.yPx };
    });
  });
  const isMoving = shown !== options.rim;
  return { shown: shown && (isStated || isMoving) ? shown : found, move, done };
}

type Line = NonNullable<ClipOptions['plumb']>;

export function usePlumb(name: SideName, { media, proposedPlumb }: Followed, options: ClipOptions) {
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
