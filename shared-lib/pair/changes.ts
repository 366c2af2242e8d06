import { spreadOf, withSpread, type Spread } from '../band/spread.ts';
import type { UsualReps } from '../contract/band.ts';
import { Failure } from '../contract/errors.ts';
import type { Knot } from '../contract/files.ts';
import type { Lift } from '../contract/lift.ts';
import { headlineSlots, measureInfo, measureNames, type MeasureName } from '../contract/measures.ts';
import type { Change } from '../contract/pair.ts';
import { lockoutZoneM, shortestPauseS } from '../rep/thresholds.ts';
import { callOf, type Interval } from './calls.ts';
import { pairNotes, ruledOutBecause, type RepContext } from './comparability.ts';
import { differenceOf, drawBoth, quarters, type Both, type Difference, type Quarter } from './joint-draws.ts';
import { matchedKnots } from './knots.ts';
import type { MeasuredClip } from './measured-clip.ts';
import { modelRep, type DrawTable, type RepModel } from './rep-model.ts';
import { measureLabel } from './sentences.ts';
import { simultaneousIntervals } from './simultaneous.ts';
import { defaultDraws, widened, withInterval, type DrawOptions } from './uncertainty.ts';
import { whyOf, whyUndefined } from './why.ts';
import { texts } from '../texts/texts.ts';

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
  /** The lifter's usual reps; without them no change is called `changed`. */
  usual?: UsualReps;
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

/** A pair's reps drawn together, ready to be compared. */
export interface DrawnPair {
  models: Both<RepModel>;
  tables: Both<DrawTable>;
}

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
  return compareDrawn(drawPair(reference, today, options), options);
}

/** Prepares both reps and draws them together. */
export function drawPair(reference: MeasuredClip, today: MeasuredClip, options: PairOptions = {}): DrawnPair {
  const models = modelPair(reference, today, options);
  return { models, tables: drawModels(models, options) };
}

/** Draws of a prepared pair; of all quarters unless said otherwise. */
export function drawModels(
  models: Both<RepModel>,
  options: PairOptions,
  which: readonly Quarter[] = quarters,
): Both<DrawTable> {
  const { sameCamera = false } = options;
  const shared = { camera: sameCamera, disc: options.sameDisc ?? sameCamera };
  return drawBoth(models, shared, options, which);
}

/** Prepares both reps. */
export function modelPair(
  reference: MeasuredClip,
  today: MeasuredClip,
  options: PairOptions = {},
): Both<RepModel> {
  if (reference.lift !== today.lift) {
    throw new Failure(
      'usage',
      `The clips show different lifts: ${reference.lift} and ${today.lift}.`,
      'Choose two clips of the same lift.',
    );
  }
  return [modelRep(reference, options.referenceRep ?? 0), modelRep(today, options.todayRep ?? 0)];
}

/** The changes of a drawn pair and their calls. */
export function compareDrawn({ models, tables }: DrawnPair, options: PairOptions): PairResult {
  const { draws = defaultDraws, sameCamera = false, sameVariant = null } = options;
  const { lift } = models[0].clip;
  const lower = endsLower(models, tables);
  const reps = [
    contextOf(models[0], tables[0], texts.pair.who.reference, lower[0]),
    contextOf(models[1], tables[1], texts.pair.who.today, lower[1]),
  ] as const;

  const headline = headlineMeasures(lift, models, tables);
  const findings = [...headline, ...measureNames.filter((name) => !headline.includes(name))].map(
    (name): Finding => ({
      name,
      label: measureLabel(name, lift),
      isHeadline: headline.includes(name),
      difference: differenceOf(name, models, tables),
      hiddenIn: hiddenIn(name, models),
      ruledOut: ruledOutBecause(name, reps, sameVariant),
      delta:
        options.deltas?.[name] ??
        (name === 'mean_drive_mps' && sameCamera ? oneSessionMeanDriveMps : measureInfo[name].delta),
    }),
  );
  // Intervals hold together over the measures that are called, and over those alone.
  const called = findings.filter((f) => f.isHeadline && f.ruledOut === null && f.difference.estimate);
  const together = simultaneousIntervals(called.map((f) => f.difference.draws));
  const { referenceKg = null, todayKg = null, usual } = options;
  const spread = (name: MeasureName) => (usual ? spreadOf(name, usual, called.length) : null);
  return {
    lift,
    knots: matchedKnots(models[0].events, models[1].events),
    cutoffHz: (models[0].clip.smoothing.cutoffHz + models[1].clip.smoothing.cutoffHz) / 2,
    draws,
    notes: pairNotes({ lift, reps, referenceKg, todayKg, sameVariant }),
    changes: findings.map((finding) =>
      changeOf(finding, together[called.indexOf(finding)] ?? null, spread(finding.name)),
    ),
  };
}

function hiddenIn(name: MeasureName, [reference, today]: Both<RepModel>): string | null {
  const { who } = texts.pair;
  if (reference.hidden.has(name)) return today.hidden.has(name) ? who.both : who.reference;
  return today.hidden.has(name) ? who.today : null;
}

/** What is known of one measure before it is called. */
interface Finding {
  name: MeasureName;
  label: string;
  isHeadline: boolean;
  difference: Difference;
  /** In whose rep the disc was not seen where this would be measured; null where it was. */
  hiddenIn: string | null;
  /** Why it cannot be called; null where it can. */
  ruledOut: string | null;
  delta: number | null;
}

/**
 * @param together the interval that holds together with the other called measures'; null where it is not called
 * @param spread the lifter's own; null where it is unknown
 */
function changeOf(
  { name, label, isHeadline, difference, hiddenIn, ruledOut, delta }: Finding,
  together: Interval | null,
  spread: Spread | null,
): Change {
  const { unit } = measureInfo[name];
  const { reference, today, estimate } = difference;
  if (!estimate) {
    const lacking = hiddenIn
      ? texts.calls.hidden(label, hiddenIn)
      : whyUndefined(name, label, reference, today);
    // That neither rep has it says more than what stands against comparing it.
    const why = reference === null && today === null ? lacking : (ruledOut ?? lacking);
    const call = isHeadline ? 'cannot tell' : null;
    return { name, unit, reference, today, change: null, lo95: null, hi95: null, u95: null, call, why };
  }
  const held = together ? widened({ ...estimate, lo95: together[0], hi95: together[1] }) : estimate;
  const { value: change, lo95, hi95 } = held;
  const u95 = (hi95 - lo95) / 2;
  const d = [lo95, hi95] as const;
  const l = spread && withSpread(change, d, spread);
  const input = { change, d, l, thin: spread?.thin ?? false, delta, ruledOut: ruledOut !== null };
  const call = isHeadline ? callOf(input) : null;
  const why = ruledOut ?? whyOf(call, input, name);
  return { name, unit, reference, today, change, lo95, hi95, u95, call, why };
}

/**
 * How far below the other's the hold of each deadlift is, metres; null where the 95 % interval leaves it open whether that is
 * more than two lockouts differ by. A pull that is alone in its clip has nothing in it that says how high its hold would be.
 */
function endsLower(models: Both<RepModel>, tables: Both<DrawTable>): Both<number | null> {
  const { estimate } = differenceOf('rom_m', models, tables);
  if (models[0].clip.lift !== 'deadlift' || !estimate) return [null, null];
  const zoneM = lockoutZoneM(Math.max(...models.map((model) => model.values.rom_m ?? 0)));
  return [estimate.lo95 > zoneM ? estimate.value : null, estimate.hi95 < -zoneM ? -estimate.value : null];
}

function contextOf(model: RepModel, table: DrawTable, who: string, endsLowerM: number | null): RepContext {
  return {
    events: model.events,
    check: model.clip.check,
    noise: model.smoothed[1].restNoise,
    paused: model.clip.lift === 'bench' ? pausedSurely(table.pause_s) : null,
    endsLowerM,
    who,
  };
}

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
      return fall !== null && fall.lo95 > 0;
    });
    return [falls ? 'fall_m' : 'longest_stop_s'];
  });
}
