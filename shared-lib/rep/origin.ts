import type { Motion } from '../contract/motion.ts';
import { median } from '../motion/statistics.ts';
import { type At, atTime, samplesWithin, timeAt, valueAt } from './sampling.ts';
import { stillMps } from './thresholds.ts';

/** At most so much of the stillness before the start makes the origin, seconds. */
const longestS = 0.3;

/** Moments nearer than this are one, samples. */
const sameMoment = 1e-6;

/** Samples [first, last] of the stillness that ends with the start; none (first > last) where the bar was moving. */
function standing(motion: Motion, start: At): [number, number] {
  // At the start the bar goes at the still speed: a sample that is the start itself is below it or not by rounding.
  const [earliest, last] = samplesWithin(motion, start - longestS / motion.dtS, start - sameMoment);
  let first = last + 1;
  while (first > earliest && Math.abs(motion.vyMps[first - 1]) < stillMps) first--;
  return [first, last];
}

/**
 * A rep's origin in the bar plane, metres: the bar's median position over the last 0.3 s of standing still before the
 * start, or where it starts if it came there moving.
 */
export function originOf(motion: Motion, startS: number): { xM: number; yM: number } {
  const start = atTime(motion, startS);
  const [first, last] = standing(motion, start);
  const of = (signal: Float64Array): number =>
    first > last ? valueAt(signal, start) : median(signal.subarray(first, last + 1));
  return { xM: of(motion.xM), yM: of(motion.yM) };
}

/** When the stillness that makes the origin begins, real seconds; the start where there is none. */
export function standingFromS(motion: Motion, startS: number): number {
  const [first, last] = standing(motion, atTime(motion, startS));
  return first > last ? startS : timeAt(motion, first);
}
