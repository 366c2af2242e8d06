import type { Trace } from '../contract/trace.ts';

/** A disc that moves this much from frame to frame is moving; one that moves less than this is not, pixels. */
const movingPx = 2;
const standingPx = 0.15;

/**
 * Frames that repeat the picture before them, counted where the bar moves: it stands for one frame while it
 * moves before and after. (In a still scene a repeated picture shows nothing and harms nothing.)
 */
export function duplicatedFrames({ samples }: Trace): number {
  const stepPx = samples.slice(1).map((s, i) => {
    const before = samples[i];
    return s.state === 'seen' && before.state === 'seen'
      ? Math.hypot(s.xPx - before.xPx, s.yPx - before.yPx)
      : NaN;
  });
  return stepPx.filter((step, i) => step < standingPx && stepPx[i - 1] > movingPx && stepPx[i + 1] > movingPx)
    .length;
}
