import type { Rim } from '../contract/trace.ts';
import { ellipseKernel } from './ellipse-kernel.ts';

/**
 * Direct least-squares fit of an ellipse to points, by algebraic distance with the ellipse constraint
 * 4ac - b² > 0: Fitzgibbon, Pilu & Fisher 1999 (IEEE TPAMI 21(5):476-480) in the numerically stable
 * partitioning of Halir & Flusser 1998 (WSCG). Points are centred and scaled first.
 *
 * @param xPx, yPx at least five points; `weights` optional, one per point.
 * @returns the ellipse, or null where the points do not define one.
 */
export function fitEllipse(
  xPx: ArrayLike<number>,
  yPx: ArrayLike<number>,
  weights?: ArrayLike<number>,
): Rim | null {
  const n = xPx.length;
  const kernel = ellipseKernel();
  if (kernel && !weights && n <= kernel.xPx.length) {
    kernel.xPx.set(xPx);
    kernel.yPx.set(yPx);
    return kernel.fit(n);
  }
  if (n < 5) return null;
  const { mx, my, s } = centreAndScale(xPx, yPx);
  if (!(s > 0)) return null;

  sumPowers(xPx, yPx, weights, mx, my, s);
  const [xxxx, xxxy, xxyy, xyyy, yyyy, xxx, xxy, xyy, yyy, xx, xy, yy, sx, sy, sw] = powers;
  // The linear part follows from the quadratic one, (d, e, f) = t (a, b, c): t is minus the inverse of s3 times s2'.
  const i00 = yy * sw - sy * sy;
  const i01 = sx * sy - xy * sw;
  const i02 = xy * sy - yy * sx;
  const i11 = xx * sw - sx * sx;
  const i12 = xy * sx - xx * sy;
  const i22 = xx * yy - xy * xy;
  const det = xx * i00 + xy * i01 + sx * i02;
  if (!(det > leastDet * xx * yy * sw)) return null;
  const column = (u: number, v: number, w: number): Vec3 => [
    -(i00 * u + i01 * v + i02 * w) / det,
    -(i01 * u + i11 * v + i12 * w) / det,
    -(i02 * u + i12 * v + i22 * w) / det,
  ];
  const [ta, tb, tc] = [column(xxx, xxy, xx), column(xxy, xyy, xy), column(xyy, yyy, yy)];
  // What is left for the quadratic part, m = s1 + s2 t, behind the inverse of the constraint.
  const row = (q: Vec3, l: Vec3): Vec3 => [q[0] + dot(l, ta), q[1] + dot(l, tb), q[2] + dot(l, tc)];
  const first = row([xxxx, xxxy, xxyy], [xxx, xxy, xx]);
  const second = row([xxxy, xxyy, xyyy], [xxy, xyy, xy]);
  const third = row([xxyy, xyyy, yyyy], [xyy, yyy, yy]);
  const [qa, qb, qc] = greatestEigenvector(scaled(third, 0.5), scaled(second, -1), scaled(first, 0.5));
  if (!(4 * qa * qc - qb * qb > 0)) return null;
  const [d, e, f] = [0, 1, 2].map((k) => ta[k] * qa + tb[k] * qb + tc[k] * qc);
  return ellipseOfConic(qa, qb, qc, d, e, f, mx, my, s);
}

/** Work space: weighted sums of x^i y^j, four powers first; never shared between workers. */
const powers = new Float64Array(15);

/** Every picture has some thousand points summed: by itself, so that the engine compiles this loop and not all of the fit with it. */
function sumPowers(
  xPx: ArrayLike<number>,
  yPx: ArrayLike<number>,
  weights: ArrayLike<number> | undefined,
  mx: number,
  my: number,
  s: number,
): void {
  let [xxxx, xxxy, xxyy, xyyy, yyyy] = [0, 0, 0, 0, 0];
  let [xxx, xxy, xyy, yyy] = [0, 0, 0, 0];
  let [xx, xy, yy, sx, sy, sw] = [0, 0, 0, 0, 0, 0];
  for (let i = 0; i < xPx.length; i++) {
    const x = (xPx[i] - mx) / s;
    const y = (yPx[i] - my) / s;
    const w = weights ? weights[i] : 1;
    const x2 = x * x;
    const y2 = y * y;
    const wx = w * x;
    const wy = w * y;
    const wx2 = w * x2;
    const wy2 = w * y2;
    xxxx += wx2 * x2;
    xxxy += wx2 * x * y;
    xxyy += wx2 * y2;
    xyyy += wy2 * x * y;
    yyyy += wy2 * y2;
    xxx += wx2 * x;
    xxy += wx2 * y;
    xyy += wy2 * x;
    yyy += wy2 * y;
    xx += wx2;
    xy += wx * y;
    yy += wy2;
    sx += wx;
    sy += wy;
    sw += w;
  }
  powers.set([xxxx, xxxy, xxyy, xyyy, yyyy, xxx, xxy, xyy, yyy, xx, xy, yy, sx, sy, sw]);
}

/** Points whose spread in a plane is a smaller share than this of what it could be lie on a line. */
const leastDet = 1e-12;

type Vec3 = readonly [number, number, number];
const dot = (u: Vec3, v: Vec3): number => u[0] * v[0] + u[1] * v[1] + u[2] * v[2];
const scaled = (v: Vec3, by: number): Vec3 => [by * v[0], by * v[1], by * v[2]];
const cross = (u: Vec3, v: Vec3): Vec3 => [
  u[1] * v[2] - u[2] * v[1],
  u[2] * v[0] - u[0] * v[2],
  u[0] * v[1] - u[1] * v[0],
];

/**
 * The eigenvector of the greatest eigenvalue of a matrix of three rows with real ones: the ellipse, since the constraint
 * has one positive eigenvalue and what it constrains none below 0 (Fitzgibbon, Pilu & Fisher 1999, theorem 1, from memory).
 * Written out, since a library's general decomposition takes longer to be compiled than a clip takes to be fitted.
 */
function greatestEigenvector(u: Vec3, v: Vec3, w: Vec3): Vec3 {
  // The characteristic polynomial x³ + b x² + c x + d, and its greatest root by Viète's cosine (from memory).
  const b = -(u[0] + v[1] + w[2]);
  const c = u[0] * v[1] - u[1] * v[0] + u[0] * w[2] - u[2] * w[0] + v[1] * w[2] - v[2] * w[1];
  const d = -dot(u, cross(v, w));
  const p = Math.max(0, (b * b) / 3 - c);
  const q = (2 * b * b * b) / 27 - (b * c) / 3 + d;
  const reach = 2 * Math.sqrt(p / 3);
  const cosine = p > 0 ? Math.min(1, Math.max(-1, (-3 * q) / (p * reach))) : 1;
  let x = reach * Math.cos(Math.acos(cosine) / 3) - b / 3;
  for (let n = 0; n < 2; n++) {
    const slope = (3 * x + 2 * b) * x + c;
    if (slope > 0) x -= (((x + b) * x + c) * x + d) / slope;
  }
  const rows: readonly Vec3[] = [
    [u[0] - x, u[1], u[2]],
    [v[0], v[1] - x, v[2]],
    [w[0], w[1], w[2] - x],
  ];
  const across = [cross(rows[0], rows[1]), cross(rows[0], rows[2]), cross(rows[1], rows[2])];
  return across.reduce((a, one) => (dot(one, one) > dot(a, a) ? one : a));
}

function centreAndScale(
  xPx: ArrayLike<number>,
  yPx: ArrayLike<number>,
): { mx: number; my: number; s: number } {
  const n = xPx.length;
  let mx = 0;
  let my = 0;
  for (let i = 0; i < n; i++) {
    mx += xPx[i] / n;
    my += yPx[i] / n;
  }
  let spread = 0;
  for (let i = 0; i < n; i++) spread += ((xPx[i] - mx) ** 2 + (yPx[i] - my) ** 2) / n;
  return { mx, my, s: Math.sqrt(spread) };
}

/** The ellipse a x² + b xy + c y² + d x + e y + f = 0 of normalised points, back in pixels. */
function ellipseOfConic(
  a: number,
  b: number,
  c: number,
  d: number,
  e: number,
  f: number,
  mx: number,
  my: number,
  s: number,
): Rim | null {
  const det = 4 * a * c - b * b;
  const x0 = (b * e - 2 * c * d) / det;
  const y0 = (b * d - 2 * a * e) / det;
  const level = a * x0 * x0 + b * x0 * y0 + c * y0 * y0 + d * x0 + e * y0 + f;
  const mean = (a + c) / 2;
  const half = Math.hypot((a - c) / 2, b / 2);
  const axis1 = -level / (mean - half);
  const axis2 = -level / (mean + half);
  if (!(axis1 > 0) || !(axis2 > 0)) return null;
  const long = Math.sqrt(Math.max(axis1, axis2));
  const short = Math.sqrt(Math.min(axis1, axis2));
  // The major axis belongs to the eigenvalue of smaller magnitude.
  const towardMinor = Math.atan2(b, a - c) / 2;
  const minorIsThere = Math.abs(mean + half) >= Math.abs(mean - half);
  let theta = minorIsThere ? towardMinor + Math.PI / 2 : towardMinor;
  if (theta > Math.PI / 2) theta -= Math.PI;
  if (theta <= -Math.PI / 2) theta += Math.PI;
  return { xPx: x0 * s + mx, yPx: y0 * s + my, aPx: long * s, bPx: short * s, thetaRad: theta };
}
