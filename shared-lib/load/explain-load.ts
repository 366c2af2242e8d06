import type { Lift } from '../contract/lift.ts';
import type { Measure } from '../contract/rep.ts';
import { stream } from '../motion/random.ts';
import { dayToDayMps, loadVelocityNorms, type LoadVelocityNorm } from '../norms/load-velocity.ts';
import { summarize } from '../pair/monte-carlo.ts';
import { differenceInterval, fitLine } from '../motion/fit-line.ts';

/** One of the lifter's own reps, done with maximal intent. */
export interface LoadPoint {
  loadKg: number;
  meanDriveMps: number;
}

export interface LoadQuestion {
  lift: Lift;
  referenceKg: number | null;
  todayKg: number | null;
  /** Mean drive velocity of the reference rep, m/s. */
  referenceMps: number | null;
  /** Both reps were driven up as fast as the lifter could; null where nobody said. */
  isMaximalIntent: boolean | null;
  /** The lifter's own reps at other loads. */
  own: readonly LoadPoint[];
}

/** What load alone would bring of the change in mean drive velocity, or why nothing is said of it. */
export type LoadExplained =
  | { kind: 'none'; why: string }
  | { kind: 'explained'; by: 'own reps' | 'published relation'; basis: string; change: Measure };

/** Loads nearer together than this, as a share, are one load: common practice, and the limit at which a pair's note appears. */
const sameLoad = 0.05;
const fewestLoads = 3;
/** Slopes of lifters differ from their population's by so much, relative, one sigma: common practice. */
const slopeSigma = 0.15;
const drawCount = 2000;

/**
 * The lifter's own line through three loads or more comes first; a published relation stands in for it in the squat and
 * the bench press. Guidance for the coach alone: it says nothing about the next attempt.
 */
export function explainLoad(question: LoadQuestion): LoadExplained {
  const { lift, referenceKg, todayKg, referenceMps, isMaximalIntent, own } = question;
  const none = (why: string): LoadExplained => ({ kind: 'none', why });
  if (referenceKg === null || todayKg === null)
    return none(
      'Say both loads, and the part of a velocity change that load alone would bring is worked out.',
    );
  if (Math.abs(todayKg / referenceKg - 1) <= sameLoad)
    return none('Both loads are within 5 % of each other: load explains nothing worth telling.');
  if (isMaximalIntent !== true)
    return none(
      'Load explains a velocity only where both reps were driven up as fast as possible; nobody said so.',
    );
  const loads = distinctLoads(own);
  const line =
    loads >= fewestLoads
      ? fitLine(
          own.map((p) => p.loadKg),
          own.map((p) => p.meanDriveMps),
        )
      : null;
  if (line) {
    return {
      kind: 'explained',
      by: 'own reps',
      basis: `${own.length} own reps at ${loads} loads`,
      change: measureOf(differenceInterval(line, referenceKg, todayKg)),
    };
  }
  const norm = loadVelocityNorms[lift];
  if (!norm)
    return none(
      'For the deadlift only the lifter’s own reps at three loads or more can tell; figures from other people say too little.',
    );
  if (referenceMps === null) return none('The reference rep has no mean drive velocity to start from.');
  const [least, most] = norm.rangeMps;
  if (referenceMps < least || referenceMps > most)
    return none(
      `The reference rep’s ${referenceMps.toFixed(2)} m/s lie outside the velocities that were measured in ${norm.population}.`,
    );
  return {
    kind: 'explained',
    by: 'published relation',
    basis: `${norm.population} (${norm.source})`,
    change: fromPopulation(norm, referenceMps, todayKg / referenceKg),
  };
}

const measureOf = ({ value, lo95, hi95 }: { value: number; lo95: number; hi95: number }): Measure => ({
  value,
  lo95,
  hi95,
  u95: (hi95 - lo95) / 2,
  unit: 'm/s',
});

/** Loads that differ by more than what counts as one load. */
function distinctLoads(own: readonly LoadPoint[]): number {
  const sorted = own.map((p) => p.loadKg).sort((a, b) => a - b);
  let count = 0;
  let last = 0;
  for (const kg of sorted) {
    if (last > 0 && kg / last - 1 <= sameLoad) continue;
    count++;
    last = kg;
  }
  return count;
}

/** Per cent of the best lift at a velocity. */
export const percentAt = ({ percent: [a, b, c] }: LoadVelocityNorm, vMps: number): number =>
  a + b * vMps + c * vMps * vMps;

/** The velocity at a per cent of the best lift: the root on the falling branch. */
export function velocityAt({ percent: [a, b, c] }: LoadVelocityNorm, pct: number): number {
  const root = Math.sqrt(Math.max(0, b * b - 4 * c * (a - pct)));
  return (2 * (pct - a)) / (b - root);
}

/**
 * From the reference velocity to the load's share of the best lift, on to today's share, and back. Each draw moves the
 * lifter's own line beside the population's by its standard error, tilts it, and lets both reps scatter from day to day.
 */
function fromPopulation(norm: LoadVelocityNorm, referenceMps: number, loadRatio: number): Measure {
  const change = (offsetPct: number, tilt: number): number => {
    const share = percentAt(norm, referenceMps) + offsetPct;
    const today = velocityAt(norm, share * loadRatio - offsetPct);
    return (today - referenceMps) * tilt;
  };
  const random = stream(61, 'load');
  const draws = Float64Array.from(
    { length: drawCount },
    () =>
      change(norm.seePct * random.normal(), 1 + slopeSigma * random.normal()) +
      dayToDayMps * (random.normal() - random.normal()),
  );
  const { lo95, hi95 } = summarize(draws)!;
  return measureOf({ value: change(0, 1), lo95, hi95 });
}
