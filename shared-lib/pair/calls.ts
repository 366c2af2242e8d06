import type { Call } from '../contract/pair.ts';

/** Two numbers, the lower first. */
export type Interval = readonly [lo: number, hi: number];

export interface CallInput {
  /** The measured difference, today minus reference; null where it is undefined. */
  change: number | null;
  /** Interval of the measured difference; null where it is undefined. */
  d: Interval | null;
  /** The same with the lifter's ordinary rep-to-rep spread added; null without a band. */
  l: Interval | null;
  /** A band of few reps never makes `changed`. */
  thin?: boolean;
  /** The difference worth acting on; null where none is agreed. */
  delta: number | null;
  /** The clip, the variant or the outcome rules the measure out. */
  ruledOut: boolean;
}

const excludesZero = ([lo, hi]: Interval) => lo > 0 || hi < 0;

/** What may be said of a difference: the table of the design's section 7, first row that fits. */
export function callOf({ change, d, l, thin = false, delta, ruledOut }: CallInput): Call {
  if (ruledOut || change === null || d === null || delta === null) return 'cannot tell';
  const worthActingOn = Math.abs(change) >= delta;
  if (worthActingOn && l !== null && !thin && excludesZero(l)) return 'changed';
  if (worthActingOn && excludesZero(d)) return 'differs';
  if (d[0] > -delta && d[1] < delta) return 'no clear change';
  return 'cannot tell';
}
