import type { Rim, Trace, TraceSample } from '../../../shared-lib/contract/trace.ts';
import { stillCamera } from '../../../shared-lib/contract/trace.ts';
import { fitEllipse } from '../../../shared-lib/picture/ellipse-fit.ts';

/** A pinhole camera that looks at the bar plane (x right as filmed, y up, z toward the camera, metres). */
export interface Camera {
  distanceM: number;
  focalPx: number;
  /** About the vertical, then the camera's own right, then its axis; degrees. */
  yawDeg: number;
  pitchDeg: number;
  rollDeg: number;
}

const rad = Math.PI / 180;
export const centrePx = { x: 960, y: 540 };

/** Where a point of the bar plane is seen; the camera looks at the plane's origin. */
export function project(camera: Camera, x: number, y: number): [number, number] {
  const { distanceM, focalPx } = camera;
  const [cy, sy] = [Math.cos(camera.yawDeg * rad), Math.sin(camera.yawDeg * rad)];
  const [cp, sp] = [Math.cos(camera.pitchDeg * rad), Math.sin(camera.pitchDeg * rad)];
  const [cr, sr] = [Math.cos(camera.rollDeg * rad), Math.sin(camera.rollDeg * rad)];
  // The plane turned in front of a camera that looks along -z.
  const [x1, z1] = [cy * x, -sy * x];
  const [y2, z2] = [cp * y - sp * z1, sp * y + cp * z1];
  const depth = distanceM - z2;
  const u = (focalPx * x1) / depth;
  const v = (-focalPx * y2) / depth;
  return [centrePx.x + cr * u - sr * v, centrePx.y + sr * u + cr * v];
}

/** The ellipse in which a circle of the plane is seen. */
export function rimAt(camera: Camera, x: number, y: number, radiusM: number): Rim {
  const points = Array.from({ length: 72 }, (_, k) => {
    const a = (k / 72) * 2 * Math.PI;
    return project(camera, x + radiusM * Math.cos(a), y + radiusM * Math.sin(a));
  });
  return fitEllipse(
    Float64Array.from(points, (p) => p[0]),
    Float64Array.from(points, (p) => p[1]),
  )!;
}

/** Half the height of an ellipse. */
export const halfHeight = (r: Rim): number =>
  Math.hypot(r.aPx * Math.sin(r.thetaRad), r.bPx * Math.cos(r.thetaRad));

/** The trace of a disc that goes along `path` (metres in the bar plane), exactly as the camera sees it. */
export function filmPath(
  camera: Camera,
  path: readonly (readonly [number, number])[],
  radiusM = 0.225,
  fps = 60,
): Trace {
  const samples = path.map(([x, y], frame): TraceSample => {
    const [xPx, yPx] = project(camera, x, y);
    const rimRadiusPx = halfHeight(rimAt(camera, x, y, radiusM));
    const spread = { varXPx2: 0.01, varYPx2: 0.01, covXYPx2: 0 };
    return {
      frame,
      ptsS: frame / fps,
      xPx,
      yPx,
      ...spread,
      rimRadiusPx,
      confidence: 1,
      state: 'seen',
      camera: stillCamera,
    };
  });
  const mean = (k: 0 | 1) => path.reduce((s, p) => s + p[k], 0) / path.length;
  return { samples, rim: rimAt(camera, mean(0), mean(1), radiusM), rimSigma: { aPx: 0.1, bPx: 0.1 } };
}

/** Down and up by 0.6 m with a bow of 0.25 m: as far as a bar ever goes. */
export const widePath = Array.from({ length: 90 }, (_, i): [number, number] => {
  const t = (i / 89) * 2 * Math.PI;
  return [0.125 * Math.sin(t), 0.3 * Math.cos(t)];
});

/** The greatest distance between the path found and the true one, both about their means; metres. */
export function pathError(
  xM: Float64Array,
  yM: Float64Array,
  truth: readonly (readonly [number, number])[],
): number {
  const about = (v: ArrayLike<number>) => {
    const m = Array.from(v).reduce((s, a) => s + a, 0) / v.length;
    return Array.from(v, (a) => a - m);
  };
  const [x, y] = [about(xM), about(yM)];
  const [p, q] = [about(truth.map((t) => t[0])), about(truth.map((t) => t[1]))];
  return Math.max(...x.map((_, i) => Math.hypot(x[i] - p[i], y[i] - q[i])));
}
