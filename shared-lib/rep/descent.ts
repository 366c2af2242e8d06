import type { MeasureName } from '../contract/measures.ts';
import { type RepFrame, seconds } from './rep-frame.ts';
import { type At, crossing, lowest, samplesWithin, valueAt } from './sampling.ts';
import { bottomZoneM, startZoneM, velocityProminenceMps } from './thresholds.ts';
import { turningPoints } from './turning-points.ts';

type DescentName = Extract<
  MeasureName,
  | 'descent_s'
  | 'depth_m'
  | 'pause_s'
  | 'mean_descent_mps'
  | 'peak_descent_mps'
  | 'peak_descent_height_m'
  | 'speed_5cm_mps'
  | 'hesitations'
  | 'sink_m'
  | 'heave_m'
>;

/** The height above the bottom at which the speed of arrival is taken, metres. */
const arrivalHeightM = 0.05;

/**
 * Descent, pause and what happens at the bottom; speeds are positive downward. None for a deadlift.
 * The sink and the heave (the greatest rise between touch and drive start) exist on the bench alone.
 */
export function descentMeasures(rep: RepFrame): Partial<Record<DescentName, number | null>> {
  const { motion, start, arrival, bottom, bottomYM, originYM, pause } = rep;
  const { yM: y, vyMps: v } = motion;
  if (arrival === null || bottom === null) return {};
  const descentS = seconds(rep, start, arrival);
  const fastest = lowest(motion, v, start, arrival);
  const bench = rep.lift === 'bench';
  return {
    descent_s: descentS,
    depth_m: originYM - bottomYM,
    pause_s: pause && seconds(rep, pause.from, pause.to),
    mean_descent_mps: (valueAt(y, start) - valueAt(y, arrival)) / descentS,
    peak_descent_mps: -fastest.value,
    peak_descent_height_m: valueAt(y, fastest.at) - bottomYM,
    speed_5cm_mps: arrivalSpeed(rep, arrival),
    hesitations: hesitations(rep, arrival),
    sink_m: bench ? Math.max(0, valueAt(y, arrival) - bottomYM) : null,
    heave_m: bench ? heave(rep, arrival) : null,
  };
}

/** Speed at the last passage of 5 cm above the bottom before the arrival; null if the descent is shorter. */
function arrivalSpeed({ motion, start, bottomYM }: RepFrame, arrival: At): number | null {
  const { yM: y, vyMps: v } = motion;
  const level = bottomYM + arrivalHeightM;
  const [first, last] = samplesWithin(motion, start, arrival);
  for (let i = last; i >= first; i--) {
    if (y[i] >= level && y[i + 1] < level) return -valueAt(v, crossing(y, i, level));
  }
  return null;
}

/**
 * How often the descent nearly stops: minima of the speed, prominent ones, below half of the lesser of the
 * two fast stretches on their sides, away from the top and the bottom (common practice).
 */
function hesitations({ motion, start, noise, originYM, bottomYM }: RepFrame, arrival: At): number {
  const { yM: y, vyMps: v } = motion;
  const [first, last] = samplesWithin(motion, start, arrival);
  const points = turningPoints(v, first, last, velocityProminenceMps(noise.svMps));
  let count = 0;
  for (let k = 1; k < points.length - 1; k++) {
    const { i, kind, value } = points[k];
    if (kind !== 'peak' || y[i] > originYM - startZoneM || y[i] < bottomYM + bottomZoneM) continue;
    if (value > 0.5 * Math.max(points[k - 1].value, points[k + 1].value)) count++;
  }
  return count;
}

/** The greatest rise between touch and drive start that is given back before the drive. */
function heave({ motion, driveStart }: RepFrame, touch: At): number {
  const { yM: y } = motion;
  const [first, last] = samplesWithin(motion, touch, driveStart);
  const lowestAfter = y.slice(first, last + 1);
  for (let k = lowestAfter.length - 2; k >= 0; k--)
    lowestAfter[k] = Math.min(lowestAfter[k], lowestAfter[k + 1]);
  let greatest = 0;
  let lowestBefore = valueAt(y, touch);
  for (let i = first; i <= last; i++) {
    lowestBefore = Math.min(lowestBefore, y[i]);
    greatest = Math.max(greatest, y[i] - Math.max(lowestBefore, lowestAfter[i - first]));
  }
  return greatest;
}
