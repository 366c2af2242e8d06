import type { CameraPose, LensBow, Rim } from '../contract/trace.ts';
import { straightened } from './lens-bow.ts';
import { conicOfCircle, onPlane, rimOfConic } from './pinhole.ts';

/** The rim of the disc's near face as a camera with this pose sees it with its centre at a place, displayed pixels. */
export function rimOfPose(
  pose: CameraPose,
  centre: { xPx: number; yPx: number },
  picture: { widthPx: number; heightPx: number },
  bow?: LensBow,
): Rim {
  const [x, y] = straightened(bow, picture, centre.xPx, centre.yPx);
  const plane = { normal: pose.normal, distanceM: pose.distanceRadii };
  const rim = rimOfConic(conicOfCircle(pose, onPlane(pose, plane, x, y), pose.normal, 1));
  return { ...rim, xPx: rim.xPx + centre.xPx - x, yPx: rim.yPx + centre.yPx - y };
}
