import type { Lift } from '../../../shared-lib/contract/lift.ts';
import type { MeasureValues } from '../../../shared-lib/contract/measures.ts';
import type { Motion } from '../../../shared-lib/contract/motion.ts';
import type { RepEvents } from '../../../shared-lib/contract/rep.ts';
import { findReps } from '../../../shared-lib/rep/find-reps.ts';
import { measureRep } from '../../../shared-lib/rep/measures.ts';
import { fromVelocity, type Leg, quiet, script } from './script.ts';

/** From the rack over the hooks to straight arms at the origin, and still for 1.5 s: 3.9 s in all. */
export const unrack: Leg[] = [{ s: 1 }, { s: 0.8, x: 0, y: 0.06 }, { s: 0.6, y: 0 }, { s: 1.5 }];
export const rack = { x: -0.12, y: -0.05 };
export const rerack: Leg[] = [{ s: 1.2 }, { s: 0.7, x: -0.12, y: 0.03 }, { s: 0.4, y: -0.05 }, { s: 1 }];

/** A bench press between unrack and re-rack; its first leg begins at 3.9 s. */
export const bench = (...legs: Leg[]): Motion => script(rack, [...unrack, ...legs, ...rerack]);
/** A squat or deadlift from 2 s of stillness at the origin; its first leg begins at 2 s. */
export const standing = (...legs: Leg[]): Motion => script({ x: 0, y: 0 }, [{ s: 2 }, ...legs, { s: 1.5 }]);

export interface Read {
  events: RepEvents;
  values: MeasureValues;
}

export const readAll = (motion: Motion, lift: Lift): Read[] =>
  findReps(motion, lift, quiet).map(({ events }) => ({
    events,
    values: measureRep(motion, events, lift, quiet),
  }));

/** The one rep of a motion. */
export function readOne(motion: Motion, lift: Lift): Read {
  const reps = readAll(motion, lift);
  if (reps.length !== 1) throw new Error(`${reps.length} reps where one was scripted`);
  return reps[0];
}

/** Velocity through knots [time, m/s], smooth and monotone from each to the next. */
export function throughKnots(knots: [number, number][], t: number): number {
  for (let i = 1; i < knots.length; i++) {
    const [t0, v0] = knots[i - 1];
    const [t1, v1] = knots[i];
    if (t <= t1) {
      const u = (t - t0) / (t1 - t0);
      return v0 + (v1 - v0) * (3 * u * u - 2 * u * u * u);
    }
  }
  return 0;
}

/** When the drive of `benchDrive` begins, seconds. */
export const driveFromS = 4;

/** A paused bench press whose drive, from 4 s on, has the velocity of the knots plus `ripple` (m/s). */
export function benchDrive(knots: [number, number][], ripple: (t: number) => number = () => 0): Motion {
  const last = knots.length - 1;
  const riseM = knots
    .slice(1)
    .reduce((sum, [t, v], i) => sum + ((t - knots[i][0]) * (v + knots[i][1])) / 2, 0);
  const velocity = (t: number): number => {
    if (t >= 1.5 && t < 3) {
      const u = (t - 1.5) / 1.5;
      return (-riseM / 1.5) * 30 * u * u * (1 - u) * (1 - u);
    }
    const w = t - driveFromS;
    return w <= 0 || w >= knots[last][0] ? 0 : throughKnots(knots, w) + ripple(w);
  };
  return fromVelocity(velocity, driveFromS + knots[last][0] + 1.5);
}
