import type { BodyMeasure } from '../contract/body.ts';
import type { Lift } from '../contract/lift.ts';
import { dot, yawOf } from '../camera/pinhole.ts';
import { upOf } from '../camera/pose-plane.ts';
import { barInCamera, type BodyCamera } from './body-camera.ts';
import { unitOf } from './geometry.ts';
import { furthestOffSquareRad } from './measure-body.ts';
import { measureWords } from './sentences.ts';

/** How high the camera is above the bar, metres; negative below. */
export function cameraAboveBarM(camera: BodyCamera, bar: readonly [xPx: number, yPx: number]): number {
  return -dot(barInCamera(camera, ...bar), upOf(camera.pose.normal, camera.rollRad));
}

/**
 * How one side was filmed, and how far its body measures can be off by the view alone, or that they cannot be judged.
 *
 * @param bar the disc's centre at the start, a pixel of the first frame through a straight lens
 */
export function viewSentences(
  who: string,
  camera: BodyCamera,
  bar: readonly [xPx: number, yPx: number],
  measures: readonly BodyMeasure[],
  lift: Lift,
): string[] {
  const offRad = Math.abs(yawOf(camera.pose.normal));
  const above = cameraAboveBarM(camera, bar);
  const height =
    Math.abs(above) < 0.1
      ? 'at the height of'
      : `${Math.abs(above).toFixed(1)} m ${above > 0 ? 'above' : 'below'}`;
  const degrees = `${((180 / Math.PI) * offRad).toFixed(0)}°`;
  const filmed = `${who} was filmed ${degrees} off square, the camera ${height} the bar at the start.`;
  if (offRad >= furthestOffSquareRad)
    return [`${filmed} From so far off square no angle, depth or place of the body can be judged.`];
  const worst = new Map<BodyMeasure['name'], BodyMeasure>();
  for (const measure of measures)
    if (measure.viewU95 > (worst.get(measure.name)?.viewU95 ?? -1)) worst.set(measure.name, measure);
  const told = [...worst.values()].map((m) => `${size(m)} of ${measureWords(m.name, lift)}`);
  if (told.length === 0) return [filmed];
  const list = told.length === 1 ? told[0] : `${told.slice(0, -1).join(', ')} and ${told.at(-1)}`;
  const unclear = [...worst.values()].filter((m) => !m.canJudge).map((m) => measureWords(m.name, lift));
  return [
    `${filmed} With exact marks this view alone leaves open up to ${list}.`,
    ...(unclear.length > 0 ? [`Too much to judge by: ${unclear.join(', ')}.`] : []),
  ];
}

const size = ({ name, viewU95 }: BodyMeasure): string =>
  unitOf(name) === 'rad'
    ? `± ${Math.max(1, Math.round((180 / Math.PI) * viewU95))}°`
    : `± ${Math.max(0.1, 100 * viewU95).toFixed(1)} cm`;
