import type { MeasureName } from '../contract/measures.ts';
import type { RepFrame } from './rep-frame.ts';
import { type At, highest, lowest, samplesWithin, valueAt } from './sampling.ts';

type DriftName = Extract<
  MeasureName,
  'drift_bottom_m' | 'drift_lockout_m' | 'drift_max_m' | 'drift_min_m' | 'bow_m' | 'first_angle_rad'
>;

/** The drive's first direction is taken over this length of path, metres. */
const firstChordM = 0.1;

/**
 * Horizontal measures relative to the rep's own origin, forward positive. At the bottom means at touch on
 * the bench. Bow and first direction exist on the bench alone.
 */
export function driftMeasures(rep: RepFrame): Record<DriftName, number | null> {
  const { motion, start, arrival, bottom, lockout, driveEnd, originXM, lift } = rep;
  const { xM: x } = motion;
  const low = lift === 'bench' ? arrival : bottom;
  return {
    drift_bottom_m: low === null ? null : valueAt(x, low) - originXM,
    drift_lockout_m: lockout === null ? null : valueAt(x, lockout) - originXM,
    drift_max_m: highest(motion, x, start, driveEnd).value - originXM,
    drift_min_m: lowest(motion, x, start, driveEnd).value - originXM,
    bow_m: lift === 'bench' && arrival !== null && lockout !== null ? bow(rep, arrival, lockout) : null,
    first_angle_rad: lift === 'bench' ? firstAngle(rep) : null,
  };
}

/**
 * The greatest distance of the drive from the straight line between touch and lockout, square to the line,
 * positive where the path is in front of it (toward the feet).
 */
function bow({ motion, driveStart }: RepFrame, touch: At, lockout: At): number {
  const { xM: x, yM: y } = motion;
  const x0 = valueAt(x, touch);
  const y0 = valueAt(y, touch);
  const dx = valueAt(x, lockout) - x0;
  const dy = valueAt(y, lockout) - y0;
  const length = Math.hypot(dx, dy);
  const [first, last] = samplesWithin(motion, driveStart, lockout);
  let greatest = 0;
  for (let i = first; i <= last; i++) {
    const deviation = ((x[i] - x0) * dy - (y[i] - y0) * dx) / length;
    if (Math.abs(deviation) > Math.abs(greatest)) greatest = deviation;
  }
  return greatest;
}

/**
 * Direction from drive start to where the bar is first 10 cm away from it, radians from forward
 * (0: toward the feet, pi/2: straight up, more: toward the head); null if it never gets there.
 */
function firstAngle({ motion, driveStart, driveEnd }: RepFrame): number | null {
  const { xM: x, yM: y } = motion;
  const x0 = valueAt(x, driveStart);
  const y0 = valueAt(y, driveStart);
  const [first, last] = samplesWithin(motion, driveStart, driveEnd);
  for (let i = first; i <= last; i++) {
    const dx = x[i] - x0;
    const dy = y[i] - y0;
    if (Math.hypot(dx, dy) >= firstChordM) return Math.atan2(dy, dx);
  }
  return null;
}
