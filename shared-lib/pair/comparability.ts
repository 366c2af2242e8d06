import type { ClipCheck } from '../contract/clip.ts';
import type { Lift } from '../contract/lift.ts';
import type { MeasureName } from '../contract/measures.ts';
import type { RepEvents } from '../contract/rep.ts';
import { stillnessCanBeTold, type Noise } from '../rep/thresholds.ts';
import { texts } from '../texts/texts.ts';
import { load } from './units.ts';

/** What one rep brings to the question whether a measure of it can be compared. */
export interface RepContext {
  events: RepEvents;
  check: ClipCheck | undefined;
  noise: Noise;
  /** Whether the rep pauses at the bottom; null where too close to the limit to say, or where the lift has none. */
  paused: boolean | null;
  /** How far below the other rep's it ends, where that is surely more than two lockouts differ by, metres; else null. */
  endsLowerM: number | null;
  /** Who: "the reference rep" or "today's rep". */
  who: string;
}

type Kind = keyof ClipCheck['verdicts'];

/** What a clip must carry for each measure. */
const kindOf: Record<MeasureName, Kind> = {
  rom_m: 'vertical',
  depth_m: 'vertical',
  descent_s: 'tempo',
  pause_s: 'tempo',
  drive_s: 'tempo',
  mean_drive_mps: 'velocity',
  peak_drive_mps: 'velocity',
  slowest_mps: 'velocity',
  slowest_height_pct: 'velocity',
  sticking_mps: 'velocity',
  sticking_drop_mps: 'velocity',
  sticking_height_pct: 'velocity',
  sticking_s: 'velocity',
  mean_descent_mps: 'velocity',
  peak_descent_mps: 'velocity',
  peak_descent_height_m: 'velocity',
  speed_5cm_mps: 'velocity',
  hesitations: 'velocity',
  sink_m: 'vertical',
  heave_m: 'vertical',
  drift_bottom_m: 'drift',
  drift_lockout_m: 'drift',
  drift_max_m: 'drift',
  drift_min_m: 'drift',
  bow_m: 'drift',
  first_angle_rad: 'drift',
  fall_m: 'vertical',
  stops: 'tempo',
  longest_stop_s: 'tempo',
  settle_s: 'tempo',
  setup_sway_m: 'drift',
  sag_m: 'vertical',
  hold_sway_m: 'drift',
};

const words = texts.pair;

/** Measures that take in the whole drive, or what comes after it. */
const needsWholeDrive = new Set<MeasureName>([
  'rom_m',
  'drive_s',
  'mean_drive_mps',
  'peak_drive_mps',
  'slowest_mps',
  'slowest_height_pct',
  'sticking_mps',
  'sticking_drop_mps',
  'sticking_height_pct',
  'sticking_s',
  'drift_lockout_m',
  'drift_max_m',
  'drift_min_m',
  'bow_m',
  'fall_m',
  'stops',
  'longest_stop_s',
  'sag_m',
  'hold_sway_m',
]);

/** Measures of the start and the first pull, which a rebound off the floor spoils. */
const needsCleanStart = new Set<MeasureName>(['first_angle_rad', 'setup_sway_m', 'settle_s']);

/** One of the two reps pauses and the other clearly does not. */
export function differentVariants(a: RepContext, b: RepContext): boolean {
  return a.paused !== null && b.paused !== null && a.paused !== b.paused;
}

/**
 * Why a measure of these two reps cannot be called, one sentence; null where it can.
 *
 * @param sameVariant what the user says; null where nobody was asked
 */
export function ruledOutBecause(
  name: MeasureName,
  reps: readonly [RepContext, RepContext],
  sameVariant: boolean | null,
): string | null {
  if (sameVariant === false) return words.otherVariants;
  if (sameVariant === null && differentVariants(...reps)) {
    const [paused, other] = reps[0].paused ? reps : [reps[1], reps[0]];
    return words.onePauses(capital(paused.who), other.who);
  }
  for (const rep of reps) {
    if (rep.events.outcome.kind === 'not completed' && needsWholeDrive.has(name)) {
      return words.notCompleted(capital(rep.who));
    }
    if (rep.endsLowerM !== null && needsWholeDrive.has(name)) {
      return words.endsLower(capital(rep.who), wholeCm(rep.endsLowerM));
    }
    if (rep.events.rebound && needsCleanStart.has(name)) {
      return words.rebounds(capital(rep.who));
    }
    const kind = kindOf[name];
    if (rep.check?.verdicts[kind] === 'cannot carry') {
      return words.cannotCarry(rep.who, words.kinds[kind]);
    }
    if (kind === 'tempo' && !stillnessCanBeTold(rep.noise)) {
      return words.tooNoisy(rep.who);
    }
  }
  return null;
}

const wholeCm = (m: number): string => `${(m * 100).toFixed(0)} cm`;
const capital = (s: string) => s.charAt(0).toUpperCase() + s.slice(1);

export interface NotesInput {
  lift: Lift;
  reps: readonly [RepContext, RepContext];
  referenceKg: number | null;
  todayKg: number | null;
  sameVariant: boolean | null;
}

/** Sentences that belong beside the changes. */
export function pairNotes({ lift, reps, referenceKg, todayKg, sameVariant }: NotesInput): string[] {
  const notes: string[] = [placeNote(lift)];
  if (referenceKg !== null && todayKg !== null && loadsApart(referenceKg, todayKg)) {
    notes.push(words.loadsApart(load(referenceKg), load(todayKg)));
  }
  if (sameVariant === false || (sameVariant === null && differentVariants(...reps))) {
    notes.push(words.variantsNote);
  }
  for (const { events, endsLowerM, who } of reps) {
    if (events.outcome.kind === 'not completed') {
      notes.push(words.stoppedShort(capital(who), wholeCm(events.outcome.shortM)));
    } else if (endsLowerM !== null) {
      notes.push(words.endsLower(capital(who), wholeCm(endsLowerM)));
    }
    if (events.earlierAttempts > 0) {
      const { earlierAttempts: n } = events;
      notes.push(n === 1 ? words.attemptBefore(capital(who)) : words.attemptsBefore(capital(who), n));
    }
    if (events.rebound) {
      notes.push(words.rebounds(capital(who)));
    }
  }
  return notes;
}

/** What is said where the bar's place over the body is not known. */
export const placeNote = (lift: Lift): string => (lift === 'squat' ? words.noPlaceOverFoot : words.noPlace);

/** Loads more than 5 % apart, relative to the smaller. */
function loadsApart(a: number, b: number): boolean {
  return Math.abs(a - b) > 0.05 * Math.min(a, b);
}
