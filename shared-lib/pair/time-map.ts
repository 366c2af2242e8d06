import { Failure } from '../contract/errors.ts';
import type { Knot } from '../contract/files.ts';

/**
 * How long a segment between two events lasts on the output clock. `phase`: as long as the longer of the
 * two reps takes, so that nothing runs faster than life; `mean`: the mean of both; `reference`: the
 * reference runs as in life.
 */
export type FilmClock = 'phase' | 'mean' | 'reference';

/**
 * The output clock of a pair and both reps' real times on it, seconds. Between knots all three run
 * linearly; before the first and after the last knot both reps run as in life. `outS` rises strictly,
 * the other two never fall (a phase that one rep does not have is a flat stretch).
 */
export interface TimeMap {
  outS: readonly number[];
  referenceS: readonly number[];
  todayS: readonly number[];
}

/**
 * Puts two reps on one clock so that their events coincide.
 *
 * @param knots matched events in time order, at least one; real seconds of each rep
 * @param options.leadS output time of the first knot: how much is shown before it
 * @throws Failure (usage) where there is no knot or an event comes before its predecessor in either rep
 */
export function buildTimeMap(knots: readonly Knot[], options: { clock: FilmClock; leadS: number }): TimeMap {
  const first = knots[0];
  if (!first) {
    throw new Failure('usage', 'The two reps share no event.', 'Mark the start of the lift in both reps.');
  }
  const outS = [options.leadS];
  const referenceS = [first.referenceS];
  const todayS = [first.todayS];
  for (const knot of knots.slice(1)) {
    const referenceStepS = knot.referenceS - referenceS.at(-1)!;
    const todayStepS = knot.todayS - todayS.at(-1)!;
    if (!(referenceStepS >= 0 && todayStepS >= 0)) {
      throw new Failure(
        'usage',
        `The event "${knot.event}" comes before the one that should precede it.`,
        'Check the order of the events in both reps.',
      );
    }
    const stepS = segmentLengthS(referenceStepS, todayStepS, options.clock);
    const out = outS.at(-1)! + stepS;
    // A step too small to move the clock would leave two knots at one output time.
    if (!(out > outS.at(-1)!)) continue;
    outS.push(out);
    referenceS.push(knot.referenceS);
    todayS.push(knot.todayS);
  }
  return { outS, referenceS, todayS };
}

function segmentLengthS(referenceS: number, todayS: number, clock: FilmClock): number {
  switch (clock) {
    case 'phase':
      return Math.max(referenceS, todayS);
    case 'mean':
      return (referenceS + todayS) / 2;
    case 'reference':
      return referenceS;
  }
}

/**
 * Carries a time from one clock to another through knots: linear between them, slope one outside.
 *
 * @param fromS the knots on the clock of `timeS`, never falling, as many as `toS`
 * @param toS the same knots on the clock wanted
 * @returns the time on the other clock; where `fromS` stands still (several times answer), the earliest
 */
export function mapTime(fromS: readonly number[], toS: readonly number[], timeS: number): number {
  const last = fromS.length - 1;
  if (timeS <= fromS[0]) return toS[0] + (timeS - fromS[0]);
  if (timeS > fromS[last]) return toS[last] + (timeS - fromS[last]);
  let i = 1;
  while (timeS > fromS[i]) i += 1;
  const share = (timeS - fromS[i - 1]) / (fromS[i] - fromS[i - 1]);
  return toS[i - 1] * (1 - share) + toS[i] * share;
}

/** Index of the last knot at or before a time; -1 before the first. */
export function segmentAt(knotsS: readonly number[], timeS: number): number {
  let i = -1;
  while (i + 1 < knotsS.length && knotsS[i + 1] <= timeS) i += 1;
  return i;
}
