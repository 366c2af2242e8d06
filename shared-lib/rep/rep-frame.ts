import type { Lift } from '../contract/lift.ts';
import type { Motion } from '../contract/motion.ts';
import type { RepEvents } from '../contract/rep.ts';
import { originOf } from './origin.ts';
import { type At, atTime, highest, valueAt } from './sampling.ts';
import type { Noise } from './thresholds.ts';

/** What every measure of a rep needs: its events on the motion's time base, and its origin. */
export interface RepFrame {
  motion: Motion;
  lift: Lift;
  noise: Noise;
  start: At;
  /** Where the descent ends: touch (bench), the pause's beginning or the bottom (squat); null for a deadlift. */
  arrival: At | null;
  bottom: At | null;
  pause: { from: At; to: At } | null;
  driveStart: At;
  lockout: At | null;
  /** Lockout, or the highest point of a drive that did not reach it. */
  driveEnd: At;
  /** Median position over the last 0.3 s of standing still before the start, metres. */
  originXM: number;
  originYM: number;
  /** Height of the bottom; of the bar on the floor for a deadlift, metres. */
  bottomYM: number;
}

export function repFrame(motion: Motion, events: RepEvents, lift: Lift, noise: Noise): RepFrame {
  const at = (tS: number): At => atTime(motion, tS);
  const atOrNull = (tS: number | null): At | null => (tS === null ? null : at(tS));
  const start = at(events.startS);
  const driveStart = at(events.driveStartS);
  const lockout = atOrNull(events.lockoutS);
  const bottom = atOrNull(events.bottomS);
  const pauseStart = atOrNull(events.pauseStartS);
  const pauseEnd = atOrNull(events.pauseEndS);
  const origin = originOf(motion, events.startS);
  return {
    motion,
    lift,
    noise,
    start,
    arrival: atOrNull(events.touchS) ?? pauseStart ?? bottom,
    bottom,
    pause: pauseStart !== null && pauseEnd !== null ? { from: pauseStart, to: pauseEnd } : null,
    driveStart,
    lockout,
    driveEnd: lockout ?? highest(motion, motion.yM, driveStart, lastSeen(motion, driveStart)).at,
    originXM: origin.xM,
    originYM: origin.yM,
    bottomYM: bottom === null ? origin.yM : valueAt(motion.yM, bottom),
  };
}

/** The last sample after `from` before the bar is lost or has come down by a decimetre from its highest. */
function lastSeen({ yM }: Motion, from: At): At {
  let i = Math.ceil(from);
  let top = yM[i];
  while (i + 1 < yM.length && yM[i + 1] > top - 0.1) {
    i++;
    top = Math.max(top, yM[i]);
  }
  return i;
}

export const seconds = ({ motion }: RepFrame, from: At, to: At): number => (to - from) * motion.dtS;
