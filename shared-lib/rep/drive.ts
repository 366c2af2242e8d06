import type { MeasureName } from '../contract/measures.ts';
import { type RepFrame, seconds } from './rep-frame.ts';
import {
  type At,
  crossing,
  type Extreme,
  highest,
  lowest,
  samplesWithin,
  stillSpans,
  valueAt,
} from './sampling.ts';
import { stillMps } from './thresholds.ts';

type DriveName = Extract<
  MeasureName,
  | 'rom_m'
  | 'drive_s'
  | 'mean_drive_mps'
  | 'peak_drive_mps'
  | 'slowest_mps'
  | 'slowest_height_pct'
  | 'fall_m'
  | 'stops'
  | 'longest_stop_s'
>;

/** The top of the range of motion is the highest point up to this long after lockout, seconds. */
const topAfterS = 0.3;
/** Velocities within the still speed for less are a passage, no stop, seconds (common practice). */
const shortestStopS = 0.1;

/**
 * Drive durations, velocities, falls and stops. What needs a lockout is null without one; falls and stops
 * are then those up to the highest point.
 */
export function driveMeasures(rep: RepFrame): Record<DriveName, number | null> {
  const { motion, driveStart, lockout, driveEnd, bottomYM } = rep;
  const { yM: y, vyMps: v, dtS } = motion;
  const last = Math.min(y.length - 1, driveEnd + (lockout === null ? 0 : topAfterS / dtS));
  const driveS = lockout === null ? null : seconds(rep, driveStart, lockout);
  const slowest = lockout === null ? null : slowestPoint(rep, lockout);
  const stops = stillSpans(motion, v, driveStart, driveEnd, stillMps)
    // The drive begins and ends at the still speed: those ends are no stops.
    .filter((s) => s.from > driveStart + 1 && s.to < driveEnd - 1)
    .map((s) => seconds(rep, s.from, s.to))
    .filter((s) => s >= shortestStopS);
  return {
    rom_m: highest(motion, y, driveStart, last).value - bottomYM,
    drive_s: driveS,
    mean_drive_mps: driveS === null ? null : (valueAt(y, driveEnd) - valueAt(y, driveStart)) / driveS,
    peak_drive_mps: highest(motion, v, driveStart, driveEnd).value,
    slowest_mps: slowest?.value ?? null,
    slowest_height_pct: slowest ? heightPct(rep, slowest.at) : null,
    fall_m: greatestFall(rep),
    stops: stops.length,
    longest_stop_s: Math.max(0, ...stops),
  };
}

/** Height of a moment in percent of the drive's range, from drive start (0) to its end (100). */
export function heightPct({ motion, driveStart, driveEnd }: RepFrame, at: At): number {
  const low = valueAt(motion.yM, driveStart);
  const high = valueAt(motion.yM, driveEnd);
  return (100 * (valueAt(motion.yM, at) - low)) / (high - low);
}

/** The least upward velocity between the first passage of 10 % of the drive's range and the last of 90 %. */
export function slowestPoint({ motion, driveStart }: RepFrame, lockout: At): Extreme | null {
  const { yM: y, vyMps: v } = motion;
  const low = valueAt(y, driveStart);
  const range = valueAt(y, lockout) - low;
  const [first, last] = samplesWithin(motion, driveStart, lockout);
  const rises = (i: number, level: number): boolean => y[i] < level && y[i + 1] >= level;
  let from = first;
  while (from < last && !rises(from, low + 0.1 * range)) from++;
  let to = last;
  while (to > from && !rises(to, low + 0.9 * range)) to--;
  if (to <= from) return null;
  return lowest(motion, v, crossing(y, from, low + 0.1 * range), crossing(y, to, low + 0.9 * range));
}

/** The greatest descent below a height already reached in the drive, metres. */
function greatestFall({ motion, driveStart, driveEnd }: RepFrame): number {
  const { yM: y } = motion;
  const [first, last] = samplesWithin(motion, driveStart, driveEnd);
  let top = y[first];
  let fall = 0;
  for (let i = first; i <= last; i++) {
    top = Math.max(top, y[i]);
    fall = Math.max(fall, top - y[i]);
  }
  return fall;
}
