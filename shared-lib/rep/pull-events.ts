import type { Motion } from '../contract/motion.ts';
import type { RepEvents } from '../contract/rep.ts';
import { lockoutOf } from './excursion-events.ts';
import { type At, crossing, stillSpans, timeAt, valueAt } from './sampling.ts';
import { attemptM, floorZoneM, lockoutZoneM, type Noise, reboundS, stillMps } from './thresholds.ts';
import { type TurningPoint, turningPoints } from './turning-points.ts';

/** A still span is a hold, or a rest on the floor, from this length, seconds. */
const restS = 0.1;
/** Holds lie this near to the highest point, rests this near to the lowest, metres. */
const nearM = 0.05;

/**
 * Events of a deadlift within samples [first, last], which hold one pull. Null where the window begins in
 * the middle of the pull or ends in it.
 *
 * Choices where the definition leaves one: a bar that leaves the floor more slowly than 0.03 m/s is lifted
 * off when it first reaches that speed; a disc that bounces has its last contact counted.
 */
export function pullEvents(
  motion: Motion,
  first: number,
  last: number,
  noise: Noise,
  fullRangeM: number | undefined,
): RepEvents | null {
  const { yM: y, vyMps: v, dtS } = motion;
  const pull = pullOf(y, first, last);
  if (!pull) return null;
  const { floor, peak } = pull;
  const restM = longestStill(motion, pull.from, peak.i, (h) => h < floor.value + nearM) ?? floor.value;
  const holdM = longestStill(motion, floor.i, last, (h) => h > peak.value - nearM) ?? peak.value;
  const floorM = restM + floorZoneM(noise.syM);

  let leave = peak.i;
  while (leave > first && y[leave] > floorM) leave--;
  if (y[leave] > floorM) return null;
  const liftOff = liftOffOf(v, leave, first, peak.i);
  if (liftOff === null) return null;

  let contact = leave;
  while (contact > first && y[contact - 1] <= floorM) contact--;
  const cameDown = contact > first;
  const completed = fullRangeM === undefined || peak.value >= restM + fullRangeM - lockoutZoneM(fullRangeM);
  const lockoutAt = completed ? lockoutOf(motion, liftOff, last, holdM, lockoutZoneM(holdM - restM)) : null;
  if (completed && lockoutAt === null) return null;
  const startS = timeAt(motion, liftOff);
  return {
    startS,
    touchS: null,
    bottomS: null,
    pauseStartS: null,
    pauseEndS: null,
    driveStartS: startS,
    lockoutS: lockoutAt === null ? null : timeAt(motion, lockoutAt),
    earlierAttempts: attemptsBefore(motion, first, contact, floorM),
    rebound: cameDown && (liftOff - contact) * dtS < reboundS,
    outcome: completed
      ? { kind: 'completed' }
      : { kind: 'not completed', shortM: restM + fullRangeM - peak.value },
  };
}

/** The window's last rise through half its range or more, and where the set-down before it began. */
function pullOf(
  y: Float64Array,
  first: number,
  last: number,
): { from: number; floor: TurningPoint; peak: TurningPoint } | null {
  let low = Infinity;
  let high = -Infinity;
  for (let i = first; i <= last; i++) {
    low = Math.min(low, y[i]);
    high = Math.max(high, y[i]);
  }
  if (high - low < 2 * attemptM) return null;
  const points = turningPoints(y, first, last, (high - low) / 2);
  const k = points.findLastIndex((p, j) => p.kind === 'peak' && j > 0);
  return k < 0 ? null : { from: points[k - 2]?.i ?? first, floor: points[k - 1], peak: points[k] };
}

/** Mean height of the longest still span whose height is `near`; null where there is none. */
function longestStill(motion: Motion, from: At, to: At, near: (heightM: number) => boolean): number | null {
  let best: { from: At; to: At } | null = null;
  for (const span of stillSpans(motion, motion.vyMps, from, to, stillMps)) {
    if ((span.to - span.from) * motion.dtS < restS || !near(valueAt(motion.yM, (span.from + span.to) / 2)))
      continue;
    if (!best || span.to - span.from > best.to - best.from) best = span;
  }
  if (!best) return null;
  let sum = 0;
  let n = 0;
  for (let i = Math.ceil(best.from); i <= best.to; i++, n++) sum += motion.yM[i];
  return n > 0 ? sum / n : null;
}

/** The last rise of v through the still speed on the floor; off it for a bar that leaves more slowly. */
function liftOffOf(v: Float64Array, leave: number, first: number, peak: number): At | null {
  const rises = (i: number): boolean => v[i] < stillMps && v[i + 1] >= stillMps;
  if (v[leave + 1] < stillMps) {
    for (let i = leave + 1; i < peak; i++) if (rises(i)) return crossing(v, i, stillMps);
    return null;
  }
  for (let i = leave; i >= first; i--) if (rises(i)) return crossing(v, i, stillMps);
  return null;
}

/** How often the bar was pulled off the floor from rest and came back to it before `contact`. */
function attemptsBefore(motion: Motion, first: number, contact: number, floorM: number): number {
  const { yM: y, vyMps: v, dtS } = motion;
  let attempts = 0;
  for (const point of turningPoints(y, first, contact, attemptM)) {
    if (point.kind !== 'peak' || point.i === first) continue;
    let left = point.i;
    while (left > first && y[left] > floorM) left--;
    const still = stillSpans(motion, v, Math.max(first, left - reboundS / dtS), left, stillMps);
    if (y[left] <= floorM && still.some((s) => (s.to - s.from) * dtS >= restS)) attempts++;
  }
  return attempts;
}
