import type { Lift } from '../../../shared-lib/contract/lift.ts';
import {
  measureInfo,
  measureNames,
  type MeasureName,
  type MeasureValues,
} from '../../../shared-lib/contract/measures.ts';
import type { Call } from '../../../shared-lib/contract/pair.ts';
import { seededRandom, type Random } from '../../../shared-lib/motion/random.ts';
import { compareDrawn, drawPair, type DrawnPair, type PairResult } from '../../../shared-lib/pair/changes.ts';
import { differenceOf } from '../../../shared-lib/pair/joint-draws.ts';
import { measuresOf } from '../../../shared-lib/pair/uncertainty.ts';
import { calibration } from './clips.ts';
import { courseOf, filmPair, trueValues, type Filming, type Rep } from './simulate.ts';
import { drawFilming, drawRepOf, planted } from './varied-reps.ts';

export const filming: Filming = {
  fps: 60,
  noise: { whiteM: 0.0003, slowM: 0, statedM: 0.0003 },
  calibration,
};

/** An interval and what was true. Null truth: there is no such thing; null interval: none was stated. */
export interface Judged {
  truth: number | null;
  stated: { value: number; lo95: number; hi95: number } | null;
}

export interface JudgedChange extends Judged {
  together: Judged['stated'];
  call: Call | null;
}

/** One comparison of simulated reps: what was said of each measure and what was true. */
export interface Trial {
  lift: Lift;
  good: boolean;
  sameCamera: boolean;
  /** The measure that was changed by one and a half times what is worth acting on; null where nothing changed. */
  changed: MeasureName | null;
  singles: Record<MeasureName, Judged>[];
  /** Each with its own interval, and as reported: of the called measures one that holds together with the others'. */
  changes: Record<MeasureName, JudgedChange>;
}

export interface TrialPlan {
  lift: Lift;
  /** Measures to change in turn; without any nothing changes. */
  change?: readonly MeasureName[];
  /** Good clips have a plumb line and a measured disc. */
  good: boolean;
  sameCamera: boolean;
  /** For so long something stands before each disc, somewhere between shortly before the start and shortly after the end, seconds. */
  hiddenForS?: number;
}

/** Films and compares `n` pairs. */
export function runTrials(
  plan: TrialPlan,
  { n, draws, seed }: { n: number; draws: number; seed: number },
): Trial[] {
  const trials: Trial[] = [];
  for (let k = 0; trials.length < n && k < 4 * n; k++) {
    const trial = runTrial(plan, k, draws, seed + k);
    if (trial) trials.push(trial);
  }
  return trials;
}

function deltaOf(name: MeasureName, sameCamera: boolean): number {
  return name === 'mean_drive_mps' && sameCamera ? 0.05 : measureInfo[name].delta!;
}

/** The `k`-th pair of a plan, from a seed of its own; null where its change cannot be planted or a rep is not found. */
export function runTrial(
  { lift, good, sameCamera, change, hiddenForS = 0 }: TrialPlan,
  k: number,
  draws: number,
  seed: number,
): Trial | null {
  const random = seededRandom(seed);
  const changed = change?.[k % change.length] ?? null;
  const first = drawRepOf(lift, random);
  const second = changed ? planted(first, changed, 1.5 * deltaOf(changed, sameCamera)) : first;
  const filmings: [Filming, Filming] = [drawFilming(random, good), drawFilming(random, good)];
  if (sameCamera) {
    const { calibration, fps } = filmings[0];
    filmings[1] = { ...filmings[1], calibration, fps };
  }
  if (!second) return null;
  const pair: [Rep, Rep] = random.uniform() < 0.5 ? [first, second] : [second, first];
  const shared = { camera: sameCamera, disc: sameCamera };
  if (hiddenForS > 0)
    filmings.forEach((filming, i) => (filming.hiddenS = somewhereIn(pair[i], hiddenForS, random)));
  const clips = filmPair(pair, shared, filmings, random);
  if (clips.some((clip) => clip.reps.length === 0)) return null;
  const options = { draws, seed, sameCamera };
  const drawn = drawPair(...clips, options);
  const result = compareDrawn(drawn, options);
  return { lift, good, sameCamera, changed, ...judged(drawn, result, pair.map(trueValues)) };
}

const aroundS = 0.2;

function somewhereIn(rep: Rep, forS: number, random: Random): [number, number] {
  const { startS, endS } = courseOf(rep);
  const fromS = startS - aroundS + random.uniform() * (endS - startS + 2 * aroundS - forS);
  return [fromS, fromS + forS];
}

/** What was said of each rep and of their differences, beside what was true. */
export function judged(
  { models, tables }: DrawnPair,
  result: PairResult,
  truths: readonly MeasureValues[],
): Pick<Trial, 'singles' | 'changes'> {
  const singles = models.map((model, i) => {
    const measures = measuresOf(model, tables[i]);
    return byName((name) => ({ truth: truths[i][name], stated: measures[name] }));
  });
  const changes = byName((name) => {
    const { call, change, lo95, hi95 } = result.changes.find((c) => c.name === name)!;
    const [a, b] = truths.map((t) => t[name]);
    return {
      call,
      truth: a === null || b === null ? null : b - a,
      stated: differenceOf(name, models, tables).estimate,
      together: change === null ? null : { value: change, lo95: lo95!, hi95: hi95! },
    };
  });
  return { singles, changes };
}

function byName<T>(of: (name: MeasureName) => T): Record<MeasureName, T> {
  return Object.fromEntries(measureNames.map((name) => [name, of(name)])) as Record<MeasureName, T>;
}

const holds = (i: { lo95: number; hi95: number }, truth: number): boolean => {
  const slack = 1e-9 * Math.max(1, Math.abs(truth));
  return i.lo95 <= truth + slack && truth - slack <= i.hi95;
};

/** How often intervals hold the truth. */
export interface Tally {
  /** Both an interval and a truth. */
  n: number;
  held: number;
  /** Truth below the interval. */
  below: number;
  /** Intervals of something that is not there, and things that are there without an interval. */
  invented: number;
  missed: number;
  /** Mean half width, and root mean square error of the value. */
  u95: number;
  rms: number;
  /** Mean error, value minus truth. */
  bias: number;
}

export function tally(all: readonly Judged[]): Tally {
  const both = all.flatMap(({ truth, stated }) =>
    truth === null || stated === null ? [] : [{ ...stated, truth }],
  );
  const mean = (of: (j: (typeof both)[number]) => number): number =>
    both.reduce((sum, j) => sum + of(j), 0) / both.length;
  return {
    n: both.length,
    held: both.filter((j) => holds(j, j.truth)).length,
    below: both.filter((j) => !holds(j, j.truth) && j.truth < j.lo95).length,
    invented: all.filter((j) => j.truth === null && j.stated !== null).length,
    missed: all.filter((j) => j.truth !== null && j.stated === null).length,
    u95: mean((j) => (j.hi95 - j.lo95) / 2),
    rms: Math.sqrt(mean((j) => (j.value - j.truth) ** 2)),
    bias: mean((j) => j.value - j.truth),
  };
}

export const tallySingles = (trials: readonly Trial[], name: MeasureName): Tally =>
  tally(trials.flatMap((t) => t.singles.map((s) => s[name])));
export const tallyChanges = (trials: readonly Trial[], name: MeasureName): Tally =>
  tally(trials.map((t) => t.changes[name]));

const headlines = (trial: Trial): (JudgedChange & { call: Call })[] =>
  Object.values(trial.changes).flatMap((c) => (c.call === null ? [] : [{ ...c, call: c.call }]));

/** Share of trials in which every headline interval holds its truth. */
export const heldTogether = (trials: readonly Trial[]): number =>
  share(trials, (t) =>
    headlines(t).every((h) => h.together === null || h.truth === null || holds(h.together, h.truth)),
  );

/** Share of trials in which any headline measure is called `differs`. */
export const anyDiffers = (trials: readonly Trial[]): number =>
  share(trials, (t) => headlines(t).some((h) => h.call === 'differs'));

/** Of the headline measures of all trials, the share with this call. */
export const called = (trials: readonly Trial[], call: Call): number =>
  share(trials.flatMap(headlines), (h) => h.call === call);

/** Of the trials in which a measure is called, the share with this call; NaN where it never is. */
export const calledOf = (trials: readonly Trial[], name: MeasureName, call: Call): number =>
  share(
    trials.flatMap((t) => t.changes[name].call ?? []),
    (c) => c === call,
  );

/** Of the trials in which a measure was changed, the share in which it is called `differs`. */
export const found = (trials: readonly Trial[], name: MeasureName): number =>
  share(
    trials.filter((t) => t.changed === name),
    (t) => t.changes[name].call === 'differs',
  );

function share<T>(all: readonly T[], is: (one: T) => boolean): number {
  return all.filter(is).length / all.length;
}

/** One standard deviation of a share `p` over `n` trials. */
export const binomial = (p: number, n: number): number => Math.sqrt((p * (1 - p)) / n);
