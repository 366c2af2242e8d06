import tQuantile from '@stdlib/stats-base-dists-t-quantile';
import type { UsualReps } from '../contract/band.ts';
import type { MeasureName } from '../contract/measures.ts';
import type { Interval } from '../pair/calls.ts';
import { isThin, measureBand, type MeasureBand } from './measure-band.ts';

/** The band of one measure over the lifter's usual reps that have it; null for fewer than three. */
export function bandOf(name: MeasureName, { reps }: UsualReps): MeasureBand | null {
  return measureBand(
    reps.flatMap(({ clip, day, measures }) => {
      const measure = measures[name];
      return measure ? [{ value: measure.value, u95: measure.u95, session: day, clip }] : [];
    }),
  );
}

/** How far two ordinary reps of the lifter are apart in one measure. */
export interface Spread {
  /** Half of the 95 % interval of their difference, SI. */
  halfWidth: number;
  /** Too few reps, or of one session, to say that a lifter has changed. */
  thin: boolean;
}

/**
 * The lifter's ordinary rep-to-rep spread as it enters the difference of two reps: t s √2, each of the two an ordinary
 * rep of standard deviation s.
 *
 * @param together how many measures are judged at once; all hold together with 95 % (Bonferroni)
 */
export function spreadOf(name: MeasureName, usual: UsualReps, together: number): Spread | null {
  const band = bandOf(name, usual);
  if (!band) return null;
  const t = tQuantile(1 - 0.025 / Math.max(1, together), band.n - 1);
  return { halfWidth: t * band.sd * Math.SQRT2, thin: isThin(band, usual.todayClip) };
}

/** The interval of a measured difference with the lifter's spread added in squares, each side by itself. */
export const withSpread = (change: number, [lo, hi]: Interval, { halfWidth }: Spread): Interval => [
  change - Math.hypot(change - lo, halfWidth),
  change + Math.hypot(hi - change, halfWidth),
];
