import type { Knot } from '../contract/files.ts';
import type { Motion } from '../contract/motion.ts';
import type { RepEvents } from '../contract/rep.ts';
import { originOf } from '../rep/origin.ts';
import { atTime, valueAt } from '../rep/sampling.ts';
import { mapTime } from './time-map.ts';

/** The moment at which both paths are laid on one point. */
export type Origin = 'start' | 'bottom' | 'lockout';

/** The bar's path relative to a common origin: metres, x forward, y up; real seconds of its own clip. */
export interface RepPath {
  tS: Float64Array;
  xM: Float64Array;
  yM: Float64Array;
  vyMps: Float64Array;
  events: RepEvents;
}

/**
 * The path with its origin at one of the rep's own events; at the start it is the rep's own origin. Null where the rep lacks the event.
 */
export function repPath(motion: Motion, events: RepEvents, origin: Origin): RepPath | null {
  const atS = origin === 'start' ? events.startS : origin === 'bottom' ? events.bottomS : events.lockoutS;
  if (atS === null) return null;
  const at = (signal: Float64Array): number => valueAt(signal, atTime(motion, atS));
  const { xM: x0, yM: y0 } =
    origin === 'start' ? originOf(motion, atS) : { xM: at(motion.xM), yM: at(motion.yM) };
  const n = motion.xM.length;
  return {
    tS: Float64Array.from({ length: n }, (_, i) => motion.t0S + i * motion.dtS),
    xM: motion.xM.map((x) => x - x0),
    yM: motion.yM.map((y) => y - y0),
    vyMps: motion.vyMps,
    events,
  };
}

/**
 * Today's time that runs with a reference time by the clock: both at the same real-time distance from an event.
 *
 * @param knot the event both clocks start from
 */
export const byClock = (knot: Knot, referenceS: number): number =>
  knot.todayS + (referenceS - knot.referenceS);

/** Today's time at the same share of the same phase; outside the matched events by the clock. */
export const byPhase = (knots: readonly Knot[], referenceS: number): number =>
  mapTime(
    knots.map((k) => k.referenceS),
    knots.map((k) => k.todayS),
    referenceS,
  );

/**
 * Today's time at which the bar is at the height it has in the reference, within the same phase. A height that today's
 * phase does not reach gives the phase's nearer end; phases without travel (pause, hold) go by share.
 *
 * @param reference and today paths from the same origin
 * @param knots matched events, as from `matchedKnots`
 */
export function byHeight(
  reference: RepPath,
  today: RepPath,
  knots: readonly Knot[],
  referenceS: number,
): number {
  const next = knots.findIndex((k) => k.referenceS > referenceS);
  if (next < 1) return byPhase(knots, referenceS);
  const [a, b] = [knots[next - 1], knots[next]];
  const legs = { from: legOf(reference, a.referenceS, b.referenceS), to: legOf(today, a.todayS, b.todayS) };
  if (!legs.from || !legs.to || legs.from.rising !== legs.to.rising) return byPhase(knots, referenceS);
  const heightM = heightAt(legs.from, referenceS);
  return timeAtHeight(legs.to, heightM);
}

/** A stretch in which the bar goes one way: heights made monotone by their running extreme. */
export interface Leg {
  rising: boolean;
  tS: Float64Array;
  /** Height reached so far: never turns back. */
  heightM: Float64Array;
  /** First sample at which each height was reached: x and velocity are read there. */
  xM: Float64Array;
  vyMps: Float64Array;
}

/** A leg shorter than this has no travel to speak of, metres. */
const leastTravelM = 0.02;

/** The leg of a path between two times; null where it has no travel or no samples. */
export function legOf(path: RepPath, fromS: number, toS: number): Leg | null {
  const from = path.tS.findIndex((t) => t >= fromS);
  let to = path.tS.findIndex((t) => t > toS);
  if (to < 0) to = path.tS.length;
  if (from < 0 || to - from < 2) return null;
  const travelM = path.yM[to - 1] - path.yM[from];
  if (!(Math.abs(travelM) >= leastTravelM)) return null;
  const rising = travelM > 0;
  const heightM = path.yM.slice(from, to);
  for (let i = 1; i < heightM.length; i++) {
    const extreme = rising ? Math.max : Math.min;
    heightM[i] = extreme(heightM[i - 1], Number.isNaN(heightM[i]) ? heightM[i - 1] : heightM[i]);
  }
  return {
    rising,
    tS: path.tS.subarray(from, to),
    heightM,
    xM: path.xM.subarray(from, to),
    vyMps: path.vyMps.subarray(from, to),
  };
}

/** The ways down and up of a rep; null where it has none. */
export function legsOf(path: RepPath): { down: Leg | null; up: Leg | null } {
  const { startS, bottomS, touchS, driveStartS, lockoutS } = path.events;
  const lowS = touchS ?? bottomS;
  return {
    down: lowS === null ? null : legOf(path, startS, lowS),
    up: legOf(path, driveStartS, lockoutS ?? path.tS[path.tS.length - 1]),
  };
}

function heightAt(leg: Leg, tS: number): number {
  const at = positionIn(leg.tS, tS, true);
  return valueAt(leg.heightM, at);
}

function timeAtHeight(leg: Leg, heightM: number): number {
  return valueAt(leg.tS, positionIn(leg.heightM, heightM, leg.rising));
}

/** Fractional index at which a monotone series first reaches a value, kept inside the series. */
function positionIn(series: Float64Array, value: number, rising: boolean): number {
  const reached = (v: number) => (rising ? v >= value : v <= value);
  if (reached(series[0])) return 0;
  let lo = 0;
  let hi = series.length - 1;
  if (!reached(series[hi])) return hi;
  while (hi - lo > 1) {
    const mid = (lo + hi) >> 1;
    if (reached(series[mid])) hi = mid;
    else lo = mid;
  }
  return lo + (value - series[lo]) / (series[hi] - series[lo]);
}

/** Where and how fast a leg passes a height; null where it does not reach it. */
export function passing(leg: Leg, heightM: number): { xM: number; vyMps: number } | null {
  const [lo, hi] = [leg.heightM[0], leg.heightM[leg.heightM.length - 1]].sort((a, b) => a - b);
  if (heightM < lo || heightM > hi) return null;
  const at = positionIn(leg.heightM, heightM, leg.rising);
  return { xM: valueAt(leg.xM, at), vyMps: valueAt(leg.vyMps, at) };
}
