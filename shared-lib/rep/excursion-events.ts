import type { Motion } from '../contract/motion.ts';
import type { RepEvents } from '../contract/rep.ts';
import { type At, crossing, highest, lowest, stillSpans, timeAt, valueAt } from './sampling.ts';
import {
  attemptM,
  bottomZoneM,
  flatBottomM,
  lockoutZoneM,
  shortestPauseS,
  startZoneM,
  stillMps,
  stuckS,
} from './thresholds.ts';
import { type TurningPoint, turningPoints } from './turning-points.ts';

/** A still span counts as standing from this length, and as set-up from the second, seconds. */
const shortStillS = 0.1;
const longStillS = 0.3;
/** Interruptions of a pause that are shorter do not end it, seconds. */
const pauseBreakS = 0.1;
/** Standing still is looked for in this share of the descent from its top. */
const topShare = 0.2;

/**
 * Events of a squat or bench press within samples [first, last], which hold one rep. Null where there is
 * no drive out of the bottom (but for a press that never leaves the chest), or where the window begins or ends in the
 * middle of the rep.
 *
 * Choices where the definitions leave one: the lowest point is that of the minima from which the bar rises
 * by more than 3 cm (a bar that comes to rest on safeties has no drive); the pause is the longest unbroken
 * stillness between touch and drive start, breaks shorter than 0.1 s not counting; a lockout above the
 * start height is one however high.
 */
export function excursionEvents(
  motion: Motion,
  first: number,
  last: number,
  hasTouch: boolean,
): RepEvents | null {
  const { yM: y, vyMps: v } = motion;
  const stuck = hasTouch ? stuckEvents(motion, first, last) : null;
  if (stuck) return stuck;
  const low = bottomOf(motion, first, last);
  if (!low) return null;
  const bottomM = low.bottom.value;
  const zoneM = bottomM + bottomZoneM;

  let entry = low.firstValley.i;
  while (entry > first && y[entry - 1] <= zoneM) entry--;
  let touch = entry;
  while (touch < low.firstValley.i && v[touch] < -stillMps) touch++;
  const touchAt: At = touch > entry ? crossing(v, touch - 1, -stillMps) : touch;

  let exit = low.bottom.i;
  while (exit < last && y[exit] <= zoneM) exit++;
  let rise = exit - 1;
  while (rise > low.bottom.i && !(v[rise] < stillMps && v[rise + 1] >= stillMps)) rise--;
  const driveAt = crossing(v, rise, stillMps);

  const top = highest(motion, y, driveAt, last);
  const start = startOf(motion, first, entry, last, driveAt, bottomM);
  if (!start) return null;
  const lockoutAt = lockoutOf(motion, driveAt, last, start.heightM, lockoutZoneM(start.heightM - bottomM));
  // Still on the way up where the window ends: nobody can say how it ended.
  if (lockoutAt === null && v[last] >= stillMps && top.at >= last - 1) return null;

  const pause = stillSpans(motion, v, touchAt, driveAt, stillMps, pauseBreakS).reduce(
    (best, span) => (span.to - span.from > best.to - best.from ? span : best),
    { from: touchAt, to: touchAt },
  );
  const paused = (pause.to - pause.from) * motion.dtS >= shortestPauseS;
  return {
    startS: timeAt(motion, start.at),
    touchS: hasTouch ? timeAt(motion, touchAt) : null,
    bottomS: timeAt(motion, middleOfBottom(y, low.bottom.i, first, last)),
    pauseStartS: paused ? timeAt(motion, pause.from) : null,
    pauseEndS: paused ? timeAt(motion, pause.to) : null,
    driveStartS: timeAt(motion, driveAt),
    lockoutS: lockoutAt === null ? null : timeAt(motion, lockoutAt),
    earlierAttempts: low.attempts,
    rebound: false,
    outcome:
      lockoutAt === null
        ? { kind: 'not completed', shortM: Math.max(0, start.heightM - top.value) }
        : { kind: 'completed' },
  };
}

/**
 * A press that never leaves the chest: down once, and within 3 cm of the lowest point from then on for at least 3 s.
 * Its drive starts where the bar was last pushed upward faster than the still speed, or at the touch where it never was.
 */
function stuckEvents(motion: Motion, first: number, last: number): RepEvents | null {
  const { yM: y, vyMps: v } = motion;
  const { at: low, value: bottomM } = lowest(motion, y, first, last);
  let entry = last;
  while (entry > first && y[entry - 1] <= bottomM + bottomZoneM) entry--;
  if (entry === first || (last - entry) * motion.dtS < stuckS) return null;
  for (let i = first; i < entry; i++) if (y[i] <= bottomM + bottomZoneM) return null;
  let touch = entry;
  while (touch < last && v[touch] < -stillMps) touch++;
  const touchAt: At = touch > entry ? crossing(v, touch - 1, -stillMps) : touch;
  let push = last - 1;
  while (push > touch && !(v[push] < stillMps && v[push + 1] >= stillMps)) push--;
  const driveAt: At = push > touch ? crossing(v, push, stillMps) : touchAt;
  const start = startOf(motion, first, entry, last, driveAt, bottomM);
  if (!start) return null;
  const top = highest(motion, y, driveAt, last);
  return {
    startS: timeAt(motion, start.at),
    touchS: timeAt(motion, touchAt),
    bottomS: timeAt(motion, middleOfBottom(y, Math.round(low), first, last)),
    pauseStartS: null,
    pauseEndS: null,
    driveStartS: timeAt(motion, driveAt),
    lockoutS: null,
    earlierAttempts: 0,
    rebound: false,
    outcome: { kind: 'not completed', shortM: Math.max(0, start.heightM - top.value) },
  };
}

/** The last minimum near the lowest point, the first one near it, and how many lie before the last. */
function bottomOf(
  { yM }: Motion,
  first: number,
  last: number,
): { bottom: TurningPoint; firstValley: TurningPoint; attempts: number } | null {
  const points = turningPoints(yM, first, last, attemptM);
  const riseAfter = (k: number): number => {
    let top = points[k].value;
    for (let j = k + 1; j < points.length && points[j].value >= points[k].value; j++) {
      top = Math.max(top, points[j].value);
    }
    return top - points[k].value;
  };
  const valleys = points.flatMap((p, k) => (p.kind === 'valley' ? [{ ...p, rise: riseAfter(k) }] : []));
  const leaving = valleys.filter((p) => p.rise > bottomZoneM);
  const drives = leaving.length > 0 ? leaving : valleys.filter((p) => p.rise >= attemptM);
  if (drives.length === 0) return null;
  const lowestM = Math.min(...drives.map((p) => p.value));
  const near = (p: TurningPoint): boolean => p.value <= lowestM + bottomZoneM;
  const bottom = drives.findLast(near)!;
  const firstValley = valleys.find((p) => near(p) && p.i <= bottom.i)!;
  const attempts = valleys.filter((p) => near(p) && p.i < bottom.i).length;
  return { bottom, firstValley, attempts };
}

/** The middle of the stretch about the lowest sample in which the height stays within a hair of it. */
function middleOfBottom(y: Float64Array, low: number, first: number, last: number): At {
  const level = y[low] + flatBottomM;
  let from = low;
  while (from > first && y[from - 1] <= level) from--;
  let to = low;
  while (to < last && y[to + 1] <= level) to++;
  const entered = from > first ? from - (level - y[from]) / (y[from - 1] - y[from]) : from;
  const left = to < last ? to + (level - y[to]) / (y[to + 1] - y[to]) : to;
  return (entered + left) / 2;
}

interface Standing {
  to: At;
  lengthS: number;
  heightM: number;
}

function standings(motion: Motion, from: At, to: At, aboveM: number): Standing[] {
  return stillSpans(motion, motion.vyMps, from, to, stillMps)
    .map((span) => ({
      to: span.to,
      lengthS: (span.to - span.from) * motion.dtS,
      heightM: valueAt(motion.yM, span.to),
    }))
    .filter(({ heightM }) => heightM > aboveM);
}

/**
 * The last still moment before the descent, and the still height that it belongs to. Of several still
 * heights (in the rack, after the hand-off, a hesitation) the last one near the top is taken to which the
 * bar comes back and rests after the drive, or else one farther down, as after a hand-off from high up;
 * where it comes back to none, the last near the top that lasts.
 */
function startOf(
  motion: Motion,
  first: number,
  entry: number,
  last: number,
  driveAt: At,
  bottomM: number,
): { at: At; heightM: number } | null {
  const top = highest(motion, motion.yM, first, entry);
  const above = (share: number): number => bottomM + share * (top.value - bottomM);
  const before = standings(motion, first, entry, above(0.5));
  const after = standings(motion, driveAt, last, above(0.5)).filter(lasts);
  const nearTop = before.filter((s) => s.heightM > above(1 - topShare));
  const comesBackTo = (s: Standing): boolean =>
    lasts(s) && after.some((a) => Math.abs(a.heightM - s.heightM) <= startZoneM);
  const chosen =
    nearTop.findLast(comesBackTo) ??
    before.findLast(comesBackTo) ??
    nearTop.findLast((s) => s.lengthS >= longStillS) ??
    nearTop.findLast(lasts) ??
    nearTop.at(-1);
  if (!chosen) return null;
  const { to } = before.findLast((s) => Math.abs(s.heightM - chosen.heightM) <= startZoneM)!;
  return { at: to, heightM: chosen.heightM };
}

const lasts = (s: Standing): boolean => s.lengthS >= shortStillS;

/** The first fall of v through the still speed within `zoneM` below `heightM` or above it. */
export function lockoutOf(motion: Motion, from: At, last: number, heightM: number, zoneM: number): At | null {
  const { yM: y, vyMps: v } = motion;
  for (let i = Math.ceil(from); i < last; i++) {
    if (v[i] >= stillMps && v[i + 1] < stillMps) {
      const at = crossing(v, i, stillMps);
      if (valueAt(y, at) >= heightM - zoneM) return at;
    }
  }
  return null;
}
