import type { Rim } from '../contract/trace.ts';

export type Vec3 = readonly [x: number, y: number, z: number];

export const dot = (a: Vec3, b: Vec3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const cross = (a: Vec3, b: Vec3): Vec3 => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];
export const along = (from: Vec3, direction: Vec3, by: number): Vec3 => [
  from[0] + by * direction[0],
  from[1] + by * direction[1],
  from[2] + by * direction[2],
];
export const unit = (v: Vec3): Vec3 => {
  const length = Math.sqrt(v[0] * v[0] + v[1] * v[1] + v[2] * v[2]);
  return [v[0] / length, v[1] / length, v[2] / length];
};

/** A pinhole without distortion; camera axes are x right, y down, z into the scene, as in the picture. */
export interface Lens {
  focalPx: number;
  /** Where the axis meets the picture, displayed pixels. */
  cxPx: number;
  cyPx: number;
}

/** The bar plane before the camera: points X with normal · X = -distanceM; the unit normal points to the camera's side. */
export interface Plane {
  normal: Vec3;
  distanceM: number;
}

export const rayThrough = (lens: Lens, xPx: number, yPx: number): Vec3 => [
  (xPx - lens.cxPx) / lens.focalPx,
  (yPx - lens.cyPx) / lens.focalPx,
  1,
];

/** Where the ray through a pixel meets the plane, metres in camera axes. */
export function onPlane(lens: Lens, plane: Plane, xPx: number, yPx: number): Vec3 {
  const ray = rayThrough(lens, xPx, yPx);
  const depth = -plane.distanceM / dot(plane.normal, ray);
  return [ray[0] * depth, ray[1] * depth, depth];
}

export const projectPoint = (lens: Lens, p: Vec3): [xPx: number, yPx: number] => [
  lens.cxPx + (lens.focalPx * p[0]) / p[2],
  lens.cyPx + (lens.focalPx * p[1]) / p[2],
];

/** Yaw (positive: the plane's normal points to the right) and pitch (positive: down) of a normal, radians. */
export function normalOf(yawRad: number, pitchRad: number): Vec3 {
  const c = Math.cos(pitchRad);
  return [Math.sin(yawRad) * c, Math.sin(pitchRad), -Math.cos(yawRad) * c];
}

/** The yaw of a normal, radians, as `normalOf` takes it. */
export const yawOf = (normal: Vec3): number => Math.atan2(normal[0], -normal[2]);

/** a x² + 2 b xy + c y² + 2 d x + 2 e y + f, positive outside. */
export interface Conic {
  a: number;
  b: number;
  c: number;
  d: number;
  e: number;
  f: number;
}

/**
 * The pictures of circles that face one way: the conic of a circle about a centre, carried through the homography from the
 * circle's plane to the picture (Hartley & Zisserman, Multiple View Geometry, 2nd ed., section 2.2.3, from memory). Poses
 * are fitted with millions of them: written out, without small arrays.
 */
export function circlesFacing(lens: Lens, normal: Vec3): (centre: Vec3, radiusM: number) => Conic {
  const { focalPx, cxPx, cyPx } = lens;
  const e1 = unit(cross(normal, Math.abs(normal[1]) < 0.9 ? [0, 1, 0] : [1, 0, 0]));
  const e2 = cross(normal, e1);
  const [ax, ay, az] = [focalPx * e1[0] + cxPx * e1[2], focalPx * e1[1] + cyPx * e1[2], e1[2]];
  const [bx, by, bz] = [focalPx * e2[0] + cxPx * e2[2], focalPx * e2[1] + cyPx * e2[2], e2[2]];
  // Rows r, s, t of the inverse homography, up to its determinant, which a conic does not notice.
  const tx = ay * bz - az * by;
  const ty = az * bx - ax * bz;
  const tz = ax * by - ay * bx;
  return (centre, radiusM) => {
    const hx = focalPx * centre[0] + cxPx * centre[2];
    const hy = focalPx * centre[1] + cyPx * centre[2];
    const hz = centre[2];
    const rx = by * hz - bz * hy;
    const ry = bz * hx - bx * hz;
    const rz = bx * hy - by * hx;
    const sx = hy * az - hz * ay;
    const sy = hz * ax - hx * az;
    const sz = hx * ay - hy * ax;
    const square = radiusM * radiusM;
    const a = rx * rx + sx * sx - square * tx * tx;
    const c = ry * ry + sy * sy - square * ty * ty;
    const sign = a + c < 0 ? -1 : 1;
    return {
      a: sign * a,
      b: sign * (rx * ry + sx * sy - square * tx * ty),
      c: sign * c,
      d: sign * (rx * rz + sx * sz - square * tx * tz),
      e: sign * (ry * rz + sy * sz - square * ty * tz),
      f: sign * (rz * rz + sz * sz - square * tz * tz),
    };
  };
}

export const conicOfCircle = (lens: Lens, centre: Vec3, normal: Vec3, radiusM: number): Conic =>
  circlesFacing(lens, normal)(centre, radiusM);

/** Distance of a point from the conic, px, outward positive; exact to first order (Sampson 1982). */
export function distanceFrom({ a, b, c, d, e, f }: Conic, xPx: number, yPx: number): number {
  const gx = a * xPx + b * yPx + d;
  const gy = b * xPx + c * yPx + e;
  return (gx * xPx + gy * yPx + d * xPx + e * yPx + f) / (2 * Math.sqrt(gx * gx + gy * gy));
}

export function rimOfConic({ a, b, c, d, e, f }: Conic): Rim {
  const det = a * c - b * b;
  const xPx = (b * e - c * d) / det;
  const yPx = (b * d - a * e) / det;
  const level = d * xPx + e * yPx + f;
  const mean = (a + c) / 2;
  const half = Math.hypot((a - c) / 2, b);
  return {
    xPx,
    yPx,
    aPx: Math.sqrt(-level / (mean - half)),
    bPx: Math.sqrt(-level / (mean + half)),
    thetaRad: Math.atan2(-2 * b, c - a) / 2,
  };
}
