/**
 * Frames by their own time stamps. A time halfway between two stamps parts them whatever rounding the
 * container or a filter does; a frame's number divided by a rate does not.
 */

/** The time that parts a frame from the one before it, seconds of file time; half a frame early at the first. */
export function timeBefore(ptsS: readonly number[], frame: number): number {
  if (frame > 0) return (ptsS[frame - 1] + ptsS[frame]) / 2;
  const stepS = ptsS.length > 1 ? ptsS[1] - ptsS[0] : 1;
  return ptsS[0] - stepS / 2;
}

/** The time that parts a frame from the one after it, seconds of file time. */
export function timeAfter(ptsS: readonly number[], frame: number): number {
  if (frame < ptsS.length - 1) return (ptsS[frame] + ptsS[frame + 1]) / 2;
  const stepS = frame > 0 ? ptsS[frame] - ptsS[frame - 1] : 1;
  return ptsS[frame] + stepS / 2;
}

/** The frame whose interval holds a time: the last with a stamp at or before it, else the first. */
export function frameAt(ptsS: readonly number[], timeS: number): number {
  let low = 0;
  let high = ptsS.length;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (ptsS[middle] <= timeS) low = middle;
    else high = middle;
  }
  return low;
}

/** The frame whose stamp is nearest to a time; the first of two equally near. Both on the same clock. */
export const nearestFrame = (tS: readonly number[], atS: number): number =>
  tS.reduce((best, t, i) => (Math.abs(t - atS) < Math.abs(tS[best] - atS) ? i : best), 0);
