import type { BodyEvent, BodyMeasureName, Joint } from '../contract/body.ts';
import type { Lift } from '../contract/lift.ts';

/** Metres forward and up from the bar, and nearer to the camera than the body's midline where it is known. */
export type BodyPoint = readonly [xM: number, yM: number, nearerM?: number];
export type BodyPoints = Partial<Record<Joint, BodyPoint>>;

/** What a measure needs marked. Bench presses are placed over the shoulder, the others over the middle of the foot. */
export function needs(name: BodyMeasureName, lift: Lift): readonly Joint[] {
  switch (name) {
    case 'place_m':
      return lift === 'bench' ? ['shoulder'] : ['heel', 'toe'];
    case 'trunk_rad':
      return ['hip', 'shoulder'];
    case 'hip_rad':
      return ['shoulder', 'hip', 'knee'];
    case 'knee_rad':
      return ['hip', 'knee', 'ankle'];
    case 'elbow_rad':
      return ['shoulder', 'elbow', 'wrist'];
    case 'crease_m':
      return ['hip crease', 'knee top'];
    case 'hip_above_m':
      return ['hip'];
  }
}

/** The measures that mean something in a lift. */
export const measuresOf: Record<Lift, readonly BodyMeasureName[]> = {
  squat: ['place_m', 'trunk_rad', 'hip_rad', 'knee_rad', 'crease_m'],
  bench: ['place_m', 'elbow_rad'],
  deadlift: ['place_m', 'trunk_rad', 'hip_rad', 'knee_rad', 'hip_above_m'],
};

/** How high the hips are is looked at as the bar leaves the floor alone. */
export const measuredAt = (event: BodyEvent, lift: Lift): BodyMeasureName[] =>
  measuresOf[lift].filter((name) => name !== 'hip_above_m' || event === 'start');

/** Angle at b between a and c as seen from the side, radians, 0 to pi. */
export function angleAt(a: BodyPoint, b: BodyPoint, c: BodyPoint): number {
  const [ux, uy] = [a[0] - b[0], a[1] - b[1]];
  const [vx, vy] = [c[0] - b[0], c[1] - b[1]];
  return Math.abs(Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy));
}

/**
 * A body measure from points as seen square from the side; NaN where a mark is missing. Angles are of the side view,
 * which for knees that point outward is smaller than in space (3 to 13 degrees: Escamilla et al. 2001, MSSE 33:984-998).
 *
 * - `place_m`: the bar ahead of the landmark (toward the toes, or the feet on the bench)
 * - `trunk_rad`: the line from hip to shoulder against upright, leaning forward positive
 * - `crease_m`: hip crease above the top of the knee; negative is lower
 * - `hip_above_m`: the hip joint above the bar
 */
export function bodyMeasure(name: BodyMeasureName, lift: Lift, points: BodyPoints): number {
  const marked = needs(name, lift).map((joint) => points[joint]);
  if (marked.some((p) => p === undefined)) return NaN;
  const [a, b, c] = marked as BodyPoint[];
  switch (name) {
    case 'place_m':
      return lift === 'bench' ? -a[0] : -(a[0] + b[0]) / 2;
    case 'trunk_rad':
      return Math.atan2(b[0] - a[0], b[1] - a[1]);
    case 'hip_rad':
    case 'knee_rad':
    case 'elbow_rad':
      return angleAt(a, b, c);
    case 'crease_m':
      return a[1] - b[1];
    case 'hip_above_m':
      return a[1];
  }
}

export const unitOf = (name: BodyMeasureName): 'm' | 'rad' => (name.endsWith('_rad') ? 'rad' : 'm');
