import type { Random } from '../motion/random.ts';
import { measureNames, noMeasures, type MeasureName, type MeasureValues } from '../contract/measures.ts';

/**
 * Falls of a bar that hardly moves: noise adds to them in squares, as it does to a standard deviation, and never takes
 * away.
 */
const addsInSquares: ReadonlySet<MeasureName> = new Set<MeasureName>(['heave_m', 'fall_m']);

/**
 * Counts, and stops that are there or not: noise makes them jump from one candidate to another, and what lies as far on
 * the other side means nothing.
 */
const counts: ReadonlySet<MeasureName> = new Set<MeasureName>(['hesitations', 'stops', 'longest_stop_s']);

/**
 * Places of extremes, and the time from one to another, jump as well: what lies on the other side means nothing there either.
 * They jump farther where a motion is measured again than they did when it was measured, since smoothing has laid its
 * candidates nearer to one another. What remains of it, of one: set on 400 simulated pairs, whose intervals held 99 % of them.
 */
const jumps: ReadonlyMap<MeasureName, number> = new Map<MeasureName, number>([
  ['slowest_height_pct', 0.75],
  ['sticking_height_pct', 0.75],
  ['peak_descent_height_m', 0.7],
  ['sticking_s', 0.65],
]);

/** Velocities that are the greatest or the least of many. */
export const extremes: ReadonlySet<MeasureName> = new Set<MeasureName>([
  'peak_drive_mps',
  'slowest_mps',
  'sticking_mps',
  'sticking_drop_mps',
  'peak_descent_mps',
]);

/**
 * Sways, sags, sinks and heaves lie between two moments. What the slow errors at both come to, of one: less than of two apart, since a
 * bar that stands still looks the same; set on rendered and simulated reps, least where it only stands.
 */
const betweenMoments: ReadonlyMap<MeasureName, number> = new Map<MeasureName, number>([
  ['setup_sway_m', 0.65],
  ['hold_sway_m', 0.8],
  ['sag_m', 0.8],
  ['sink_m', 0.8],
  ['heave_m', 0.15],
]);

/**
 * Durations between a moment at which the bar leaves its rest and one at which it comes to rest. By how much measuring again
 * moves them in one rep says nothing of how far they are off in it (slopes within 0.03 of nothing over 4,100 durations of simulated
 * reps, 0.07 over 30 rendered drives): taking it back would only put it on.
 */
export const betweenRests = [
  'descent_s',
  'pause_s',
  'drive_s',
  'settle_s',
] as const satisfies readonly MeasureName[];
const areBetweenRests: ReadonlySet<MeasureName> = new Set<MeasureName>(betweenRests);

/** Mean speeds of a way between two rests, and the time that it takes. */
const meanSpeeds = [
  ['mean_drive_mps', 'drive_s'],
  ['mean_descent_mps', 'descent_s'],
] as const satisfies readonly (readonly [MeasureName, MeasureName])[];

/** One sigma of what is left open between two measured moments. */
export interface MomentErrors {
  /** The slow error of a place, metres. */
  slowM: number;
  /** When a bar leaves its rest or comes to it, seconds. */
  restS: number;
}

/**
 * Measures with what the slow error does to ranges between two moments, and with how surely a picture shows that a bar has
 * left its rest: at each moment either may lie either way, so that the true range may be the greater one as well. Measuring
 * again would pick the moments anew and show greater ranges alone.
 */
export function withMoments(
  values: MeasureValues,
  { slowM, restS }: MomentErrors,
  random: Random,
): MeasureValues {
  const out = { ...values };
  const moved = (name: MeasureName, sigma: number): void => {
    const value = out[name];
    if (value !== null) out[name] = Math.max(0, value + sigma * random.normal());
  };
  for (const [name, share] of betweenMoments) moved(name, share * slowM);
  // A descent that turns without a pause ends at no rest.
  const restsOf = (name: MeasureName): number => (name === 'descent_s' && values.pause_s === null ? 1 : 2);
  for (const name of betweenRests) moved(name, Math.sqrt(restsOf(name)) * restS);
  // The way between two rests stays what it is.
  for (const [mean, time] of meanSpeeds) {
    const [speed, before, after] = [out[mean], values[time], out[time]];
    if (speed !== null && before && after) out[mean] = (speed * before) / after;
  }
  return out;
}

/** Each measure after less before; null where either is. */
export function differences(before: MeasureValues | null, after: MeasureValues | null): MeasureValues {
  const out = noMeasures();
  for (const name of measureNames) {
    const [a, b] = [before?.[name] ?? null, after?.[name] ?? null];
    out[name] = a === null || b === null ? null : b - a;
  }
  return out;
}

/**
 * What the truth may be when noise turns `before` into `after`: as far on the other side of `before`, so that what the
 * noise adds on average is taken off and not put on again (the basic bootstrap interval of Davison & Hinkley 1997, section
 * 5.2, section from memory). Null where either is.
 *
 * Measuring again blunts what was already blunted, which shows too little of what smoothing did to corners. A smoother of
 * gain G = 1 / (1 + (f / f0)^6) takes the integral of (1 - G) / f^k off, with k = 4 where the jerk jumps, as where a bar
 * comes to rest, and k = 3 where the acceleration does; smoothing again takes off that of G (1 - G) / f^k, a half and a third
 * of it (computed).
 *
 * Of many moments that are nearly alike noise picks the greatest: how much too great it is goes with the noise, which
 * measuring again raises by the root of two only, so that 1 / (√2 - 1) = 2.4 times as much was added as is seen; at a peak
 * that stands out it goes with the noise's square, and as much was added as is seen (computed). What was picked is taken off
 * once more by half of the 1.4 in between.
 */
export function noiseTakenBack(before: MeasureValues, after: MeasureValues, lost: Lost): MeasureValues {
  const out = noMeasures();
  for (const name of measureNames) {
    const a = before[name];
    const b = after[name];
    out[name] = a === null || b === null ? null : taken(name, a, b, lostOf(name, lost));
  }
  return out;
}

/** What is to be taken back beside what measuring again shows. */
export interface Lost {
  /** What smoothing again does to each measure. */
  blunting: MeasureValues;
  /** How often that is to be taken off: 0 for smooth motion, 1 and 2 for corners of the two kinds. */
  share: number;
  /** What measuring again adds to extremes on average and to durations between rests in the middle. */
  added: Partial<MeasureValues>;
}

const pickedShare = 0.7;
const lostOf = (name: MeasureName, { blunting, share, added }: Lost): number =>
  areBetweenRests.has(name)
    ? (blunting[name] ?? 0) - (added[name] ?? 0)
    : share * (blunting[name] ?? 0) + pickedShare * (added[name] ?? 0);

function taken(name: MeasureName, before: number, after: number, lost: number): number {
  if (counts.has(name)) return after;
  const jump = jumps.get(name);
  // A time is off by what is missed as well.
  if (jump !== undefined) return before + jump * (after - before) - (name === 'sticking_s' ? lost : 0);
  // Measured again it moves by more than it is off, on simulated reps by about twice as much.
  if (name === 'settle_s') return before - (after - before) / 2 - lost;
  if (addsInSquares.has(name)) return Math.sqrt(Math.max(0, 2 * before * before - after * after));
  if (betweenMoments.has(name)) return before;
  return 2 * before - after - lost;
}
