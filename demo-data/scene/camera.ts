import type { Rim } from '../../shared-lib/contract/trace.ts';
import type { CameraSpec } from './spec.ts';
import { bent, straightened, type Lens, type PicturePoint } from './lens.ts';
import { add, cross, dot, scale, sub, type Vec3 } from './vec.ts';

/** A pinhole camera, with a lens that may bend its picture; pixels have their centre at whole numbers, y down. */
export interface Camera {
  at: Vec3;
  /** Unit axes in the scene: picture right, picture up, viewing direction. */
  right: Vec3;
  up: Vec3;
  forward: Vec3;
  focalPx: number;
  cxPx: number;
  cyPx: number;
  lens: Lens | null;
  /** The camera at the moment a row is read, where it moves while the rows are read one after another; else null. */
  ofRow: ((yPx: number) => Camera) | null;
}

/** What a camera has turned and zoomed since its placement. */
export interface Turn {
  panRad: number;
  tiltRad: number;
  rollRad: number;
  /** Focal length over the placed one. */
  zoom: number;
}

export const noTurn: Turn = { panRad: 0, tiltRad: 0, rollRad: 0, zoom: 1 };

export function makeCamera(
  spec: CameraSpec,
  widthPx: number,
  heightPx: number,
  turn: Turn = noTurn,
  lens: Lens | null = null,
): Camera {
  const pan = spec.panRad + turn.panRad;
  const tilt = spec.tiltRad + turn.tiltRad;
  const roll = spec.rollRad + turn.rollRad;
  const forward: Vec3 = [Math.sin(pan) * Math.cos(tilt), Math.sin(tilt), -Math.cos(pan) * Math.cos(tilt)];
  const level: Vec3 = [Math.cos(pan), 0, Math.sin(pan)];
  const upright = cross(level, forward);
  return {
    at: [spec.xM, spec.yM, spec.zM],
    right: add(scale(level, Math.cos(roll)), scale(upright, Math.sin(roll))),
    up: sub(scale(upright, Math.cos(roll)), scale(level, Math.sin(roll))),
    forward,
    focalPx: spec.focalPx * turn.zoom,
    cxPx: (widthPx - 1) / 2,
    cyPx: (heightPx - 1) / 2,
    lens,
    ofRow: null,
  };
}

/** Distance along the viewing direction, metres; not positive behind the camera. */
export const depthOf = (camera: Camera, p: Vec3): number => dot(sub(p, camera.at), camera.forward);

function straightPicture(camera: Camera, p: Vec3): PicturePoint {
  const d = sub(p, camera.at);
  const k = camera.focalPx / dot(d, camera.forward);
  return {
    xPx: camera.cxPx + k * dot(d, camera.right),
    yPx: camera.cyPx - k * dot(d, camera.up),
  };
}

/** Where a point that stands still while the picture is read appears in it. */
export function project(camera: Camera, p: Vec3): PicturePoint {
  const straight = straightPicture(camera, p);
  const at = camera.lens ? bent(camera.lens, straight) : straight;
  // A camera turns by a pixel or two while it reads: the row is known well enough from its middle row's camera.
  return camera.ofRow ? project(camera.ofRow(at.yPx), p) : at;
}

/** Direction in the scene of the ray through a pixel of the straight picture, before the lens; not normalised. */
export function rayOf(camera: Camera, xPx: number, yPx: number): Vec3 {
  const a = (xPx - camera.cxPx) / camera.focalPx;
  const b = -(yPx - camera.cyPx) / camera.focalPx;
  return add(camera.forward, add(scale(camera.right, a), scale(camera.up, b)));
}

/** The pixel of the straight picture whose ray reaches this pixel. */
export const beforeLens = (camera: Camera, p: PicturePoint): PicturePoint =>
  camera.lens ? straightened(camera.lens, p) : p;

/** Pixels per metre, across the viewing direction, at a point. */
export const pxPerM = (camera: Camera, p: Vec3): number => camera.focalPx / depthOf(camera, p);

/**
 * The picture of a circle before the lens and with all rows read at once: its exact ellipse, by carrying the circle's conic through the plane-to-picture
 * homography (Hartley and Zisserman, Multiple View Geometry, 2nd ed., section 2.2.3; from memory).
 * `e1`, `e2` are unit vectors that span the circle's plane.
 */
export function projectCircle(camera: Camera, centre: Vec3, e1: Vec3, e2: Vec3, radiusM: number): Rim {
  const column = (v: Vec3): Vec3 => {
    const z = dot(v, camera.forward);
    return [
      camera.focalPx * dot(v, camera.right) + camera.cxPx * z,
      -camera.focalPx * dot(v, camera.up) + camera.cyPx * z,
      z,
    ];
  };
  const h1 = column(e1);
  const h2 = column(e2);
  const h3 = column(sub(centre, camera.at));
  // Rows of the inverse homography, up to its determinant, which a conic does not notice.
  const r1 = cross(h2, h3);
  const r2 = cross(h3, h1);
  const r3 = cross(h1, h2);
  const q = (i: 0 | 1 | 2, j: 0 | 1 | 2): number =>
    r1[i] * r1[j] + r2[i] * r2[j] - radiusM * radiusM * r3[i] * r3[j];
  const [a, b, c, d, e, f] = [q(0, 0), q(0, 1), q(1, 1), q(0, 2), q(1, 2), q(2, 2)];
  const det = a * c - b * b;
  const xPx = (b * e - c * d) / det;
  const yPx = (b * d - a * e) / det;
  const level = d * xPx + e * yPx + f;
  const mean = (a + c) / 2;
  const half = Math.hypot((a - c) / 2, b);
  const sign = Math.sign(mean);
  const small = mean - sign * half;
  const large = mean + sign * half;
  const thetaRad = Math.atan2(-2 * b * sign, (c - a) * sign) / 2;
  return {
    xPx,
    yPx,
    aPx: Math.sqrt(-level / small),
    bPx: Math.sqrt(-level / large),
    thetaRad,
  };
}
