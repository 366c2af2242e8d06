import type { Joint } from '../contract/body.ts';
import type { Lift } from '../contract/lift.ts';
import { barInCamera, type BodyCamera } from './body-camera.ts';
import { asEstimated, bodyPoints } from './body-draw.ts';
import { midline } from './joints.ts';
import type { PointCourse } from './point-shifts.ts';

/** A followed point is placed no more surely than this in one picture, px (measured on rendered clips). */
const followedPx = 0.5;

/**
 * A followed second point in metres, at its joint's depth behind the bar plane.
 *
 * @param bar any place of the bar, from which depth is told; pixels of the first frame through a straight lens, as `places`
 */
export function pointCourse(
  camera: BodyCamera,
  lift: Lift,
  joint: Joint,
  bar: readonly [xPx: number, yPx: number],
  tS: readonly number[],
  places: readonly (readonly [xPx: number, yPx: number] | null)[],
): PointCourse {
  const at = places.map((place) =>
    place ? bodyPoints(camera, lift, asEstimated, bar, { [joint]: place })[joint]! : ([NaN, NaN] as const),
  );
  const depthM = barInCamera(camera, ...bar)[2] + midline.depthM;
  return {
    tS,
    xM: at.map(([x]) => x),
    yM: at.map(([, y]) => y),
    sigmaM: (followedPx * depthM) / camera.pose.focalPx,
    scaleSigma: Math.hypot(midline.sigmaM / depthM, camera.pose.sigma.size, camera.discSigma),
  };
}
