import type { Lift } from '../../shared-lib/contract/lift.ts';
import type { RepEvents } from '../../shared-lib/contract/rep.ts';
import type { BarMotion, StagedSpan } from '../motion/bar-motion.ts';
import {
  argMax,
  courseOf,
  firstIndex,
  lastIndex,
  longest,
  stillStretches,
  v0Mps,
  valleysOf,
} from './course.ts';

/** The planned stages of one rep, with the still time before it and, for a completed one, the hold after it. */
function spansOf(motion: BarMotion, rep: number): StagedSpan[] {
  const own = motion.spans.filter((s) => s.stage.rep === rep);
  const after = motion.spans.find((s) => s.fromS >= own[own.length - 1].toS);
  return after ? [...own, after] : own;
}

export const repWindow = (motion: BarMotion, rep: number): { fromS: number; toS: number } => {
  const spans = spansOf(motion, rep);
  return { fromS: spans[0].fromS, toS: spans[spans.length - 1].toS };
};

/** Prominence of a minimum that counts, nearness to the lowest point, the shortest pause, and the longest interruption of one: the agreement on events. */
const attemptM = 0.01;
const bottomZoneM = 0.03;
const shortestPauseS = 0.2;
const pauseBreakS = 0.1;

const speed = (v: number): number => Math.abs(v);
const itself = (v: number): number => v;

/** The events of a planned rep by the definitions that measured reps follow, on the exact motion. */
export function eventsOf(motion: BarMotion, lift: Lift, rep: number): RepEvents {
  return lift === 'deadlift' ? pullEvents(motion, rep) : pressEvents(motion, lift, rep);
}

function pressEvents(motion: BarMotion, lift: Lift, rep: number): RepEvents {
  const { fromS, toS } = repWindow(motion, rep);
  const descent = motion.spans.find((s) => s.stage.rep === rep && s.stage.name === 'descent')!;
  const sinkBack = motion.spans.find((s) => s.stage.rep === rep && s.stage.name === 'sink back');
  const c = courseOf(motion, fromS, sinkBack ? sinkBack.fromS : toS);
  const n = c.tS.length;
  // Minima of 1 cm or more near the lowest point: the last is the bottom, those before it are attempts.
  const valleys = valleysOf(c.yM, attemptM);
  const lowest = Math.min(...valleys.map((i) => c.yM[i]));
  const bottoms = valleys.filter((i) => c.yM[i] <= lowest + bottomZoneM);
  const low = bottoms[bottoms.length - 1];
  const topY = motion.at(descent.fromS).yM;
  const iStart = lastIndex(0, bottoms[0], (i) => speed(c.vMps[i]) < v0Mps && c.yM[i] > topY - 0.02);
  const startS = c.crossing(iStart, v0Mps, speed);
  const nearBottom = (i: number) => c.yM[i] < c.yM[low] + bottomZoneM;
  const iTouch = firstIndex(iStart + 1, n, (i) => nearBottom(i) && speed(c.vMps[i]) < v0Mps);
  const touchS = c.crossing(iTouch - 1, v0Mps, speed);
  // The stretch that leaves the bottom; the bar may come by its height again only on the way up from it.
  const leaves = firstIndex(low, n, (i) => !nearBottom(i));
  const iDrive = lastIndex(low, leaves, (i) => c.vMps[i] < v0Mps && c.vMps[i + 1] >= v0Mps);
  const driveStartS = c.crossing(iDrive, v0Mps, itself);
  const tolerance = Math.max(0.02, 0.04 * (topY - c.yM[low]));
  const startY = motion.at(startS).yM;
  const iLock = firstIndex(
    iDrive + 1,
    n - 1,
    (i) => c.vMps[i] >= v0Mps && c.vMps[i + 1] < v0Mps && speed(c.yM[i] - startY) < tolerance,
  );
  const still = stillStretches(c, touchS, driveStartS, pauseBreakS);
  const pause = longest(still, { fromS: touchS, toS: touchS });
  const paused = pause.toS - pause.fromS >= shortestPauseS;
  return {
    startS,
    touchS: lift === 'bench' ? touchS : null,
    bottomS: middleOfBottom(c, low),
    pauseStartS: paused ? pause.fromS : null,
    pauseEndS: paused ? pause.toS : null,
    driveStartS,
    lockoutS: iLock < 0 ? null : c.crossing(iLock, v0Mps, itself),
    earlierAttempts: bottoms.length - 1,
    rebound: false,
    outcome:
      iLock < 0
        ? { kind: 'not completed', shortM: startY - c.yM[argMax(c.yM, iDrive, n)] }
        : { kind: 'completed' },
  };
}

/** Within this of the lowest point a bar is at the bottom, metres: the agreement on events. */
const flatBottomM = 0.002;

function middleOfBottom({ tS, yM }: ReturnType<typeof courseOf>, low: number): number {
  const level = yM[low] + flatBottomM;
  let from = low;
  while (from > 0 && yM[from - 1] <= level) from--;
  let to = low;
  while (to < yM.length - 1 && yM[to + 1] <= level) to++;
  return (tS[from] + tS[to]) / 2;
}

function pullEvents(motion: BarMotion, rep: number): RepEvents {
  const { fromS } = repWindow(motion, rep);
  const drive = motion.spans.find((s) => s.stage.rep === rep && s.stage.name === 'drive')!;
  const down = motion.spans.find(
    (s) => s.stage.rep === rep && s.fromS >= drive.toS && s.stage.name !== 'hold',
  );
  const c = courseOf(motion, fromS, down && down.stage.name !== 'stall' ? down.fromS : drive.toS + 0.7);
  const n = c.tS.length;
  const restY = motion.at(drive.fromS).yM;
  const high = argMax(c.yM, 0, n);
  const iDrive = lastIndex(
    0,
    high,
    (i) => c.vMps[i] < v0Mps && c.vMps[i + 1] >= v0Mps && c.yM[i] - restY < 0.005,
  );
  const driveStartS = c.crossing(iDrive, v0Mps, itself);
  const shortM = motion.spans.some((s) => s.stage.rep === rep && s.stage.name === 'stall')
    ? plannedHold(motion) - c.yM[high]
    : 0;
  const tolerance = Math.max(0.02, 0.04 * (c.yM[high] - restY));
  const iLock =
    shortM > 0
      ? -1
      : firstIndex(
          iDrive + 1,
          n - 1,
          (i) => c.vMps[i] >= v0Mps && c.vMps[i + 1] < v0Mps && c.yM[high] - c.yM[i] < tolerance,
        );
  return {
    startS: driveStartS,
    touchS: null,
    bottomS: null,
    pauseStartS: null,
    pauseEndS: null,
    driveStartS,
    lockoutS: iLock < 0 ? null : c.crossing(iLock, v0Mps, itself),
    earlierAttempts: valleysOf(c.yM.subarray(0, iDrive + 1), attemptM).filter((i) => c.yM[i] - restY < 0.005)
      .length,
    rebound: fromS > 0 && driveStartS - lastDescentEnd(motion, drive.fromS) < 0.3,
    outcome: iLock < 0 ? { kind: 'not completed', shortM } : { kind: 'completed' },
  };
}

/** Height of the hold of a completed rep of the same clip. */
const plannedHold = (motion: BarMotion): number => {
  const hold = motion.spans.find((s) => s.stage.name === 'hold' && s.stage.rep !== null);
  return hold ? motion.at(hold.fromS).yM : Number.NaN;
};

const lastDescentEnd = (motion: BarMotion, beforeS: number): number =>
  Math.max(
    -Infinity,
    ...motion.spans.filter((s) => s.stage.name === 'descent' && s.toS <= beforeS).map((s) => s.toS),
  );
