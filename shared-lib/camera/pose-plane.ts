import type { CameraPose } from '../contract/trace.ts';
import type { Facing } from '../contract/lift.ts';
import { cross, dot, onPlane, rayThrough, unit, type Lens, type Plane, type Vec3 } from './pinhole.ts';

/** Positions in the bar plane, and what the camera's place means there. */
export interface PoseView {
  /** Metres forward and up of where a pixel's ray meets the bar plane, from where the camera's axis meets it. */
  toPlane: (xPx: number, yPx: number) => readonly [xM: number, yM: number];
  /** Metres per pixel at a place of the picture, along the direction that is not foreshortened. */
  metresPerPx: (xPx: number, yPx: number) => number;
  /** Angle between the plane's normal and the line to the camera from a place, seen from above; positive with the camera to the right. */
  offSquareRad: (xPx: number, yPx: number) => number;
  distanceM: number;
}

const lensOf = ({ focalPx, cxPx, cyPx }: CameraPose): Lens => ({ focalPx, cxPx, cyPx });

/**
 * Which way is up in camera axes: it lies in the bar plane, since the bar is level, and leans to the right in the
 * picture by the roll.
 */
export function upOf(normal: Vec3, rollRad: number): Vec3 {
  const [c, s] = [Math.cos(rollRad), Math.sin(rollRad)];
  return unit([s, -c, (normal[1] * c - normal[0] * s) / normal[2]]);
}

/** How far an upright at a place of the picture is seen to lean to the right, radians. */
export function leanAt(lens: Lens, up: Vec3, xPx: number, yPx: number): number {
  const [x, y] = rayThrough(lens, xPx, yPx);
  return Math.atan2(up[0] - x * up[2], -(up[1] - y * up[2]));
}

/** The roll with which an upright at a place is seen to lean by `leanRad`. */
export function rollFromLean(pose: CameraPose, leanRad: number, xPx: number, yPx: number): number {
  let roll = leanRad;
  // The lean changes with the roll by nearly one to one, so that a few corrections settle it.
  for (let k = 0; k < 5; k++) roll += leanRad - leanAt(lensOf(pose), upOf(pose.normal, roll), xPx, yPx);
  return roll;
}

export function viewOf(pose: CameraPose, radiusM: number, rollRad: number, facing: Facing): PoseView {
  const lens = lensOf(pose);
  const plane: Plane = { normal: pose.normal, distanceM: pose.distanceRadii * radiusM };
  const up = upOf(pose.normal, rollRad);
  const right = cross(up, pose.normal);
  const forward = facing === 'right' ? 1 : -1;
  const at = (xPx: number, yPx: number): Vec3 => onPlane(lens, plane, xPx, yPx);
  return {
    toPlane: (xPx, yPx) => {
      const p = at(xPx, yPx);
      return [forward * dot(p, right), dot(p, up)];
    },
    metresPerPx: (xPx, yPx) => at(xPx, yPx)[2] / lens.focalPx,
    offSquareRad: (xPx, yPx) => {
      const p = at(xPx, yPx);
      return Math.atan2(-dot(p, right), -dot(p, pose.normal));
    },
    distanceM: plane.distanceM,
  };
}
