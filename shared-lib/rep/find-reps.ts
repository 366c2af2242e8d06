import type { Lift } from '../contract/lift.ts';
import type { Motion } from '../contract/motion.ts';
import type { RepEvents, RepWindow } from '../contract/rep.ts';
import { findEvents } from './events.ts';
import { atTime, highest, lowest, timeAt, valueAt } from './sampling.ts';
import {
  bottomZoneM,
  leastExcursionM,
  leastShareOfLargest,
  lockoutZoneM,
  type Noise,
  topToleranceM,
  topToleranceShare,
} from './thresholds.ts';
import { type TurningPoint, turningPoints } from './turning-points.ts';

export interface Rep {
  window: RepWindow;
  events: RepEvents;
}

/** What a window holds before the start and after lockout, where the clip and the neighbours allow, seconds. */
const leadS = 6;
const tailS = 2.5;
/** A rep's window begins this long after the lockout before it, so that it does not see that drive. */
const afterLockoutS = 0.5;
/** The floor is the lowest that the bar was within this before lift-off, seconds. */
const floorLookS = 0.3;

/**
 * The reps of a clip in time order. A rep is an excursion of at least 0.15 m and half the clip's largest
 * that starts near the still top height (deadlift: near the resting height). Stretches in which the bar
 * was lost end what comes before them. An excursion that never comes back up (a bar put into a rack) is none, but for a
 * press that never leaves the chest.
 */
export function findReps(motion: Motion, lift: Lift, noise: Noise): Rep[] {
  const runs = seenRuns(motion.yM);
  const excursionM = leastExcursion(motion, runs);
  const found = runs.flatMap(([first, last]) => repsOfRun(motion, first, last, lift, noise, excursionM));
  const kept = nearCommonStart(motion, found, lift);
  return kept.flatMap((rep, k) => {
    const window = finalWindow(motion, rep, kept[k - 1], kept[k + 1], lift);
    const events = findEvents(motion, window, lift, noise);
    return events ? [{ window, events }] : [];
  });
}

interface Found extends Rep {
  /** The seen run that the rep lies in, seconds. */
  runFromS: number;
  runToS: number;
}

/** Index ranges [first, last] without NaN. */
function seenRuns(y: Float64Array): [number, number][] {
  const runs: [number, number][] = [];
  let first = -1;
  for (let i = 0; i <= y.length; i++) {
    const seen = i < y.length && !Number.isNaN(y[i]);
    if (seen && first < 0) first = i;
    if (!seen && first >= 0) {
      runs.push([first, i - 1]);
      first = -1;
    }
  }
  return runs;
}

function leastExcursion(motion: Motion, runs: [number, number][]): number {
  let largest = 0;
  for (const [first, last] of runs) {
    const points = turningPoints(motion.yM, first, last, leastExcursionM);
    for (let k = 1; k < points.length; k++) {
      largest = Math.max(largest, Math.abs(points[k].value - points[k - 1].value));
    }
  }
  return Math.max(leastExcursionM, leastShareOfLargest * largest);
}

/** Every excursion of a run with the events found in the stretch between its neighbours. */
function repsOfRun(
  motion: Motion,
  first: number,
  last: number,
  lift: Lift,
  noise: Noise,
  excursionM: number,
): Found[] {
  const points = turningPoints(motion.yM, first, last, excursionM);
  const turn: TurningPoint['kind'] = lift === 'deadlift' ? 'peak' : 'valley';
  return points.flatMap((point, k) => {
    if (point.kind !== turn || k === 0) return [];
    const [from, to] = stretchOf(motion.yM, points, k, first, last);
    const lead = points[k - 1].i - Math.round(leadS / motion.dtS);
    const window = { fromS: timeAt(motion, Math.max(from, lead)), toS: timeAt(motion, to) };
    const events = findEvents(motion, window, lift, noise);
    return events ? [{ window, events, runFromS: timeAt(motion, first), runToS: timeAt(motion, last) }] : [];
  });
}

/**
 * What lies between an excursion and its neighbours. Of a valley: from where the bar is back near the top
 * after the valley before it to where it leaves the top for the next. Of a pull: from the hold before it,
 * so that the set-down between is seen, to the floor after it.
 */
function stretchOf(
  y: Float64Array,
  points: TurningPoint[],
  k: number,
  first: number,
  last: number,
): [number, number] {
  const before: TurningPoint | undefined = points[k - 2];
  const after = points[k + 2];
  if (points[k].kind === 'peak') {
    return [k >= 2 ? before.i : first, after ? points[k + 1].i : last];
  }
  let from = first;
  if (k >= 2) {
    const level = mostOf(before.value, points[k - 1].value);
    for (from = before.i; y[from] < level;) from++;
  }
  let to = last;
  if (after) {
    const level = mostOf(after.value, points[k + 1].value);
    for (to = after.i; y[to] < level;) to--;
  }
  return [from, to];
}

/** Four fifths of the way from a valley up to a peak. */
const mostOf = (valley: number, peak: number): number => valley + 0.8 * (peak - valley);

/** Keeps the reps that are long enough in themselves and start where reps of this clip start. */
function nearCommonStart(motion: Motion, reps: Found[], lift: Lift): Found[] {
  const ranges = reps.map((rep) => rangeOf(motion, rep));
  const full = Math.max(...ranges);
  const least = Math.max(leastExcursionM, leastShareOfLargest * full);
  const sign = lift === 'deadlift' ? -1 : 1;
  const heights = reps.map((rep) => sign * valueAt(motion.yM, atTime(motion, rep.events.startS)));
  const reference = Math.max(...heights.filter((_, k) => ranges[k] >= least));
  const tolerance = Math.max(topToleranceM, topToleranceShare * full);
  const kept = reps.filter(
    (rep, k) =>
      ranges[k] >= least &&
      heights[k] >= reference - (neverRose(motion, rep) ? lockoutZoneM(full) : tolerance),
  );
  if (lift !== 'deadlift' || kept.length < 2) return kept;
  return kept.map((rep) => ({ ...rep, window: { ...rep.window, fullRangeM: full } }));
}

/** Whether the bar stays at the bottom. Where it sank back to it from a drive that stopped short, that is no rep of its own. */
function neverRose(motion: Motion, { window, events }: Rep): boolean {
  const { yM: y } = motion;
  if (events.bottomS === null || events.lockoutS !== null) return false;
  const bottom = atTime(motion, events.bottomS);
  return highest(motion, y, bottom, atTime(motion, window.toS)).value <= valueAt(y, bottom) + bottomZoneM;
}

/** From the start down to the bottom; of a deadlift from the floor up to the highest point. */
function rangeOf(motion: Motion, { window, events }: Rep): number {
  const { yM: y } = motion;
  const start = atTime(motion, events.startS);
  if (events.bottomS !== null) return valueAt(y, start) - valueAt(y, atTime(motion, events.bottomS));
  const floor = lowest(motion, y, Math.max(0, start - floorLookS / motion.dtS), start).value;
  return highest(motion, y, start, atTime(motion, window.toS)).value - floor;
}

/** The window with what belongs to the rep: its set-up, and the hold up to the next rep. */
function finalWindow(
  motion: Motion,
  { window, events, runFromS, runToS }: Found,
  previous: Found | undefined,
  next: Found | undefined,
  lift: Lift,
): RepWindow {
  let fromS = Math.max(runFromS, events.startS - leadS);
  const before = previous?.events.lockoutS ?? previous?.window.toS;
  if (before !== undefined && before < events.startS) {
    // A deadlift needs the set-down before it: that is where a rebound shows.
    const skip = lift === 'deadlift' ? 0 : Math.min(afterLockoutS, (events.startS - before) / 2);
    fromS = Math.max(fromS, before + skip);
  }
  const endS = events.lockoutS === null ? stopS(motion, window, events) : events.lockoutS + tailS;
  const toS = Math.min(
    runToS,
    endS,
    window.toS,
    next ? Math.max(next.events.startS, events.lockoutS ?? 0) : Infinity,
  );
  return { ...(window.fullRangeM === undefined ? {} : { fullRangeM: window.fullRangeM }), fromS, toS };
}

/** Where a rep that is not completed is over: when the bar has come down from its highest point again. */
function stopS(motion: Motion, window: RepWindow, events: RepEvents): number {
  if (neverRose(motion, { window, events })) return window.toS;
  const to = atTime(motion, window.toS);
  const top = highest(motion, motion.yM, atTime(motion, events.driveStartS), to);
  let i = Math.ceil(top.at);
  while (i < to && motion.yM[i] > top.value - bottomZoneM) i++;
  return Math.min(timeAt(motion, i), timeAt(motion, top.at) + tailS);
}
