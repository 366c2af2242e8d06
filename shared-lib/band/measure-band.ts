import { mean as meanOf, deviation } from 'd3-array';
import tQuantile from '@stdlib/stats-base-dists-t-quantile';
import type { Interval } from '../pair/calls.ts';

/** One rep that counts as usual for the lifter, as a band takes it. */
export interface BandRep {
  value: number;
  /** 95 % uncertainty of the value. */
  u95: number;
  /** The day's session it was filmed in. */
  session: string;
  /** The clip, by content. */
  clip: string;
}

/** How a lifter's usual reps scatter in one measure. SI units. */
export interface MeasureBand {
  n: number;
  mean: number;
  /** Sample standard deviation; it holds the measuring error that the reps do not share. */
  sd: number;
  /** 95 % uncertainty of the mean from errors that reps of one clip share. */
  sharedU95: number;
  sessions: number;
  /** The clip that all reps come from; null where there are several. */
  onlyClip: string | null;
}

/** Fewer reps give no band. */
export const leastReps = 3;
/** From this many a band is full, if they come from two sessions. */
export const fullBandReps = 5;

/** The band of one measure; null for fewer than three reps. */
export function measureBand(reps: readonly BandRep[]): MeasureBand | null {
  if (reps.length < leastReps) return null;
  const values = reps.map((rep) => rep.value);
  const clips = new Set(reps.map((rep) => rep.clip));
  return {
    n: reps.length,
    mean: meanOf(values)!,
    sd: deviation(values)!,
    // Errors that a clip's reps share differ from clip to clip, so the mean averages them over clips alone.
    sharedU95: Math.sqrt(meanOf(reps, (rep) => rep.u95 ** 2)! / clips.size),
    sessions: new Set(reps.map((rep) => rep.session)).size,
    onlyClip: clips.size === 1 ? reps[0].clip : null,
  };
}

/**
 * A thin band never makes `changed`: fewer than five reps, or reps of one session against another day's. A set of five
 * and more is a full band for its own reps.
 */
export const isThin = (band: MeasureBand, todayClip: string): boolean =>
  band.n < fullBandReps || (band.sessions < 2 && band.onlyClip !== todayClip);

/**
 * Half the width of the prediction interval for one more rep: t s √(1 + 1/n), to which measuring errors that this rep
 * does not share with the band are added.
 *
 * @param todayU95 95 % uncertainty of the rep's value
 * @param together how many measures are judged by their bands at once; all hold together with 95 % (Bonferroni)
 */
export function bandHalfWidth(band: MeasureBand, todayU95: number, together = 1): number {
  const t = tQuantile(1 - 0.025 / together, band.n - 1);
  const spread = t * band.sd * Math.sqrt(1 + 1 / band.n);
  return Math.hypot(spread, todayU95, band.sharedU95);
}

/** How far a rep lies from the lifter's usual, and the interval that ordinary scatter and measuring leave to it. */
export function fromUsual(
  band: MeasureBand,
  today: { value: number; u95: number },
  together = 1,
): { deviation: number; interval: Interval } {
  const deviationFromMean = today.value - band.mean;
  const half = bandHalfWidth(band, today.u95, together);
  return { deviation: deviationFromMean, interval: [deviationFromMean - half, deviationFromMean + half] };
}
