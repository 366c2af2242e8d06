import { Failure } from '../contract/errors.ts';
import type { Knot } from '../contract/files.ts';
import type { Lift } from '../contract/lift.ts';
import { headlineSlots, measureInfo, measureNames, type MeasureName } from '../contract/measures.ts';
import type { Change } from '../contract/pair.ts';
import { seededRandom } from '../motion/random.ts';
import { callOf, type Interval } from './calls.ts';
import { pairNotes, ruledOutBecause, type RepContext } from './comparability.ts';
import { matchedKnots } from './knots.ts';
import type { MeasuredClip } from './measured-clip.ts';
import { drawRep, emptyDraws, modelRep, type DrawTable, type RepModel } from './rep-model.ts';
import { measureLabel } from './sentences.ts';
import { simultaneousIntervals } from './simultaneous.ts';
import { drawPairSources } from './sources.ts';
import { defaultDraws, defaultSeed, progressStep, withInterval, type DrawOptions } from './uncertainty.ts';
import { whyOf, whyUndefined } from './why.ts';

export interface PairOptions extends DrawOptions {
  /** Which rep of each clip, from 0; the first by default. */
  referenceRep?: number;
  todayRep?: number;
  /** The camera stood still from one rep to the other: what it does to both cancels. */
  sameCamera?: boolean;
  /** The same disc is the ruler in both; as `sameCamera` by default. */
  sameDisc?: boolean;
  referenceKg?: number | null;
  todayKg?: number | null;
  /** Whether both reps are the same variant of the lift, as the user says; null where nobody was asked. */
  sameVariant?: boolean | null;
  /** Differences worth acting on that the coach has changed, SI. */
  deltas?: Partial<Record<MeasureName, number>>;
}

export interface PairResult {
  lift: Lift;
  knots: Knot[];
  /** The cut-off both reps were smoothed at, Hz. */
  cutoffHz: number;
  draws: number;
  notes: string[];
  /** Headline measures first, in the lift's order, then the others. */
  changes: Change[];
}

/** Mean drive velocity's difference worth acting on within one session, m/s (common practice). */
const oneSessionMeanDriveMps = 0.05;

/**
 * Compares a reference rep with today's: every measure today minus reference, with its interval from joint draws and, for
 * the headline measures, a call.
 *
 * @throws Failure (usage) where the clips show different lifts or lack the rep asked for
 */
export function comparePair(
  reference: MeasuredClip,
  today: MeasuredClip,
  options: PairOptions = {},
): PairResult {
  const { draws = defaultDraws, sameCamera = false, sameVariant = null } = options;
  if (reference.lift !== today.lift) {
    throw new Failure(
      'usage',
      `The clips show different lifts: ${reference.lift} and ${today.lift}.`,
      'Choose two clips of the same lift.',
    );
  }
  const { lift } = reference;
  const cutoffHz = Math.min(reference.cutoffHz, today.cutoffHz);
  const models = [
    modelRep(reference, options.referenceRep ?? 0, cutoffHz),
    modelRep(today, options.todayRep ?? 0, cutoffHz),
  ] as const;
  const tables = drawPair(models, options);
  const reps = [
    contextOf(models[0], tables[0], 'the reference rep'),
    contextOf(models[1], tables[1], 'today’s rep'),
  ] as const;

  const headline = headlineMeasures(lift, models, tables);
  const delta = (name: MeasureName) =>
    options.deltas?.[name] ??
    (name === 'mean_drive_mps' && sameCamera ? oneSessionMeanDriveMps : measureInfo[name].delta);
  const ruledOut = new Map(measureNames.map((name) => [name, ruledOutBecause(name, reps, sameVariant)]));
  const measured = new Map(measureNames.map((name) => [name, difference(name, models, tables)]));
  const called = headline.filter((name) => ruledOut.get(name) === null && measured.get(name)!.interval);
  const together = simultaneousIntervals(called.map((name) => differences(name, tables)));

  const changes = [...headline, ...measureNames.filter((name) => !headline.includes(name))].map(
    (name): Change => {
      const { referenceValue, todayValue, interval } = measured.get(name)!;
      const base = { name, unit: measureInfo[name].unit, reference: referenceValue, today: todayValue };
      const isHeadline = headline.includes(name);
      const reason = ruledOut.get(name)!;
      if (!interval) {
        const why = reason ?? whyUndefined(measureLabel(name, lift), referenceValue, todayValue);
        const none = { change: null, lo95: null, hi95: null, u95: null };
        return { ...base, ...none, call: isHeadline ? 'cannot tell' : null, why };
      }
      const joint = together[called.indexOf(name)];
      const d: Interval = joint
        ? [Math.min(joint[0], interval.value), Math.max(joint[1], interval.value)]
        : [interval.lo95, interval.hi95];
      const input = { change: interval.value, d, l: null, delta: delta(name), ruledOut: reason !== null };
      const call = isHeadline ? callOf(input) : null;
      return {
        ...base,
        change: interval.value,
        lo95: d[0],
        hi95: d[1],
        u95: (d[1] - d[0]) / 2,
        call,
        why: reason ?? whyOf(call, input, measureInfo[name].unit),
      };
    },
  );

  return {
    lift,
    knots: matchedKnots(models[0].events, models[1].events),
    cutoffHz,
    draws,
    notes: pairNotes({
      lift,
      reps,
      referenceKg: options.referenceKg ?? null,
      todayKg: options.todayKg ?? null,
      sameVariant,
    }),
    changes,
  };
}

type Both<T> = readonly [reference: T, today: T];

/** Draws both reps together, sharing what they share. A draw in which either has no rep counts for neither. */
function drawPair(models: Both<RepModel>, options: PairOptions): Both<DrawTable> {
  const { draws = defaultDraws, seed = defaultSeed, sameCamera = false, onProgress } = options;
  const shared = { camera: sameCamera, disc: options.sameDisc ?? sameCamera };
  const random = seededRandom(seed);
  const tables = [emptyDraws(draws), emptyDraws(draws)] as const;
  for (let k = 0; k < draws; k++) {
    if (k % progressStep === 0) onProgress?.(k / draws);
    const sources = drawPairSources(models[0].sources, models[1].sources, shared, random);
    const a = drawRep(models[0], sources[0], random);
    const b = drawRep(models[1], sources[1], random);
    if (!a || !b) continue;
    for (const name of measureNames) {
      tables[0][name][k] = a.values[name] ?? NaN;
      tables[1][name][k] = b.values[name] ?? NaN;
    }
  }
  return tables;
}

function differences(name: MeasureName, tables: Both<DrawTable>): Float64Array {
  return tables[1][name].map((value, k) => value - tables[0][name][k]);
}

function difference(name: MeasureName, models: Both<RepModel>, tables: Both<DrawTable>) {
  const referenceValue = models[0].values[name];
  const todayValue = models[1].values[name];
  const value = referenceValue === null || todayValue === null ? null : todayValue - referenceValue;
  return { referenceValue, todayValue, interval: withInterval(value, differences(name, tables)) };
}

function contextOf(model: RepModel, table: DrawTable, who: string): RepContext {
  return {
    events: model.events,
    check: model.clip.check,
    restVelocityNoiseMps: model.smoothed[1].restNoise.svMps,
    paused: model.clip.lift === 'bench' ? pausedSurely(table.pause_s) : null,
    who,
  };
}

/** A pause of this length or longer is a pause, a shorter one touch-and-go, seconds (the agreement on events). */
const shortestPauseS = 0.2;

/** Whether at least 97.5 % of the draws agree that the rep pauses, or that it does not; null otherwise. */
function pausedSurely(pauseS: Float64Array): boolean | null {
  const share = pauseS.filter((s) => s >= shortestPauseS).length / pauseS.length;
  return share >= 0.975 ? true : share <= 0.025 ? false : null;
}

/** The headline slots as measures: places wait for a landmark; falls give way to stops where there are none. */
function headlineMeasures(lift: Lift, models: Both<RepModel>, tables: Both<DrawTable>): MeasureName[] {
  return headlineSlots[lift].flatMap((slot): MeasureName[] => {
    if (slot === 'place_start') return [];
    if (slot !== 'fall_or_stop') return [slot];
    const falls = models.some((model, i) => {
      const fall = withInterval(model.values.fall_m, tables[i].fall_m);
      return fall !== null && fall.lo95 > 0 && fall.value > fall.u95;
    });
    return [falls ? 'fall_m' : 'longest_stop_s'];
  });
}
