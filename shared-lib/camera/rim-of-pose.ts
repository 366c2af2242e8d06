import type { CameraPose, LensBow, Rim } from '../contract/trace.ts';
import { straightened } from './lens-bow.ts';
import { conicOfCircle, onPlane, rimOfConic } from './pinhole.ts';

/**
 * The rim of the disc's near face as a camera with this pose sees it where the disc was followed: displayed pixels,
 * the pose's own offset from the followed ring to the face taken in.
 */
export function rimOfPose(
  pose: CameraPose,
  followed: { xPx: number; yPx: number },
  picture: { widthPx: number; heightPx: number },
  bow?: LensBow,
): Rim {
  const [x, y] = straightened(bow, picture, followed.xPx, followed.yPx);
  const plane = { normal: pose.normal, distanceM: pose.distanceRadii };
  const centre = onPlane(pose, plane, x + pose.offset.dxPx, y + pose.offset.dyPx);
  const rim = rimOfConic(conicOfCircle(pose, centre, pose.normal, 1));
  return { ...rim, xPx: rim.xPx + followed.xPx - x, yPx: rim.yPx + followed.yPx - y };
}

/** How far two rims lie apart, in place or in either axis, as a share of the first's radius. */
export function rimsApart(one: Rim, other: Rim): number {
  const centres = Math.hypot(other.xPx - one.xPx, other.yPx - one.yPx);
  const axes = Math.max(Math.abs(other.aPx - one.aPx), Math.abs(other.bPx - one.bPx));
  return Math.max(centres, axes) / one.aPx;
}
