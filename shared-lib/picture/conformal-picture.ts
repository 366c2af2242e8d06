import type { CameraMotion } from '../contract/trace.ts';
import { applySimilarity, type Point } from './similarity.ts';

/** Coordinates in which a picture taken by a camera that has turned is the first picture under a similarity, very nearly. */
export interface ConformalPicture {
  /** From displayed pixels, and back; both leave the picture's middle where it is and at its scale. */
  to: (xPx: number, yPx: number) => Point;
  from: (x: number, y: number) => Point;
}

/**
 * The picture on the sphere of directions round a pinhole, seen stereographically. A flat picture stretches toward its
 * edges when the camera turns, by the square of the distance from the middle over the focal length, which no similarity
 * follows; on the sphere a turn keeps shapes, and stereographic projection does so too (conformal maps; a turn is a Moebius
 * transformation there, of which a similarity leaves a third to a sixth of what it leaves of a flat picture).
 *
 * @param focalPx of the lens; infinite for a picture that is only shifted, turned and scaled
 */
export function conformalPicture(
  { width, height }: { width: number; height: number },
  focalPx: number,
): ConformalPicture {
  const [cx, cy] = [(width - 1) / 2, (height - 1) / 2];
  if (focalPx === Infinity) return { to: (x, y) => [x, y], from: (x, y) => [x, y] };
  const about =
    (factor: (radius: number) => number) =>
    (x: number, y: number): Point => {
      const radius = Math.hypot(x - cx, y - cy) / focalPx;
      const k = radius > 1e-9 ? factor(radius) : 1;
      return [cx + k * (x - cx), cy + k * (y - cy)];
    };
  return {
    to: about((r) => (2 * Math.tan(Math.atan(r) / 2)) / r),
    from: about((r) => Math.tan(2 * Math.atan(r / 2)) / r),
  };
}

/** Step over which a map's slopes are taken, px. */
const stepPx = 2;

/** The similarity of displayed pixels that does near a place what one of conformal coordinates does there. */
export function motionNear(
  { to, from }: ConformalPicture,
  motion: CameraMotion,
  xPx: number,
  yPx: number,
): CameraMotion {
  const moved = (x: number, y: number): Point => from(...applySimilarity(motion, ...to(x, y)));
  const here = moved(xPx, yPx);
  const right = moved(xPx + stepPx, yPx);
  const below = moved(xPx, yPx + stepPx);
  const along = (right[0] - here[0] + below[1] - here[1]) / (2 * stepPx);
  const across = (right[1] - here[1] - below[0] + here[0]) / (2 * stepPx);
  const linear = {
    scale: Math.hypot(along, across),
    rotationRad: Math.atan2(across, along),
    txPx: 0,
    tyPx: 0,
  };
  const [x, y] = applySimilarity(linear, xPx, yPx);
  return { ...linear, txPx: here[0] - x, tyPx: here[1] - y };
}
