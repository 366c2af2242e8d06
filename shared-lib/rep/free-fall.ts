import type { Motion } from '../contract/motion.ts';
import { fitLine } from '../motion/fit-line.ts';

/** A bar that falls this far, at its fastest this fast, and stops at once may have been let go (a dropped pull, plates on a floor). */
const leastM = 0.2;
const leastMps = 0.3;
/** It stops within this share of the time that it fell. */
const stopShare = 0.15;
/** How straight velocity runs over time while only gravity acts, as the share that a line explains. */
const straight = 0.995;

/**
 * Accelerations of falls in which only gravity acted, m/s²: velocity grows along a straight line and ends in an impact. A
 * lowering by hand slows down before it ends.
 */
export function freeFalls({ vyMps, yM, dtS }: Pick<Motion, 'vyMps' | 'yM' | 'dtS'>): number[] {
  const falls: number[] = [];
  for (let from = 0; from < vyMps.length; from++) {
    if (!(vyMps[from] < 0)) continue;
    let to = from;
    while (to + 1 < vyMps.length && vyMps[to + 1] < 0) to += 1;
    const fall = fallWithin(vyMps.subarray(from, to + 1), yM.subarray(from, to + 1), dtS);
    if (fall !== null) falls.push(fall);
    from = to;
  }
  return falls;
}

/** Of one stretch of downward motion: its acceleration where it was a fall. */
function fallWithin(v: Float64Array, y: Float64Array, dtS: number): number | null {
  const fastest = v.reduce((best, each, i) => (each < v[best] ? i : best), 0);
  const peak = v[fastest];
  if (-peak < leastMps || y[0] - y[fastest] < leastM) return null;
  const stopped = v.findIndex((each, i) => i > fastest && each > 0.3 * peak);
  const end = stopped < 0 ? v.length : stopped;
  const begin = v.findIndex((each) => each <= 0.15 * peak);
  if (end - fastest > stopShare * (fastest - begin)) return null;
  // Smoothing rounds both ends off.
  const part = v.subarray(begin, fastest + 1).filter((each) => each >= 0.9 * peak);
  const fit = fitLine(
    Array.from(part, (_, i) => i),
    Array.from(part),
  );
  if (!fit) return null;
  const byLine = fit.slope ** 2 * fit.sxx;
  const explained = byLine / (byLine + fit.sd ** 2 * (fit.n - 2));
  return explained >= straight ? -fit.slope / dtS : null;
}
