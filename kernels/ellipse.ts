/**
 * An ellipse through edges, as `ellipseThroughEdges` of shared-lib/picture/rim-shape.ts and `fitEllipse` of
 * shared-lib/picture/ellipse-fit.ts fit it, in the same order, so that the result is the same to the bit. Compiled by
 * AssemblyScript to dist/kernels.wasm; the plain version is its test.
 */
import { acos, atan2, cos, hypot, sin } from './engine';

const mostPoints: i32 = 512;
const iterations: i32 = 5;
const leastDet: f64 = 1e-12;
const leastScale: f64 = 0.3;

const xs = memory.data(512 * 8, 16);
const ys = memory.data(512 * 8, 16);
const weights = memory.data(512 * 8, 16);
const residuals = memory.data(512 * 8, 16);
const magnitudes = memory.data(512 * 8, 16);
/** The ellipse: its centre, its semi-axes and how far it is turned. */
const ellipse = memory.data(5 * 8, 16);

export function ellipseXAt(): usize {
  return xs;
}
export function ellipseYAt(): usize {
  return ys;
}
export function ellipseAt(): usize {
  return ellipse;
}
export function mostEllipsePoints(): i32 {
  return mostPoints;
}

function value(what: usize, k: i32): f64 {
  return load<f64>(what + (k << 3));
}

function dot(u0: f64, u1: f64, u2: f64, v0: f64, v1: f64, v2: f64): f64 {
  return u0 * v0 + u1 * v1 + u2 * v2;
}

/** Fits `n` points with their weights into `ellipse`; 0 where they define none. */
function fit(n: i32): i32 {
  if (n < 5) return 0;
  let mx: f64 = 0;
  let my: f64 = 0;
  for (let i = 0; i < n; i++) {
    mx += value(xs, i) / <f64>n;
    my += value(ys, i) / <f64>n;
  }
  let spread: f64 = 0;
  for (let i = 0; i < n; i++) {
    const dx = value(xs, i) - mx;
    const dy = value(ys, i) - my;
    spread += (dx * dx + dy * dy) / <f64>n;
  }
  const s = sqrt(spread);
  if (!(s > 0)) return 0;

  let xxxx: f64 = 0;
  let xxxy: f64 = 0;
  let xxyy: f64 = 0;
  let xyyy: f64 = 0;
  let yyyy: f64 = 0;
  let xxx: f64 = 0;
  let xxy: f64 = 0;
  let xyy: f64 = 0;
  let yyy: f64 = 0;
  let xx: f64 = 0;
  let xy: f64 = 0;
  let yy: f64 = 0;
  let sx: f64 = 0;
  let sy: f64 = 0;
  let sw: f64 = 0;
  for (let i = 0; i < n; i++) {
    const x = (value(xs, i) - mx) / s;
    const y = (value(ys, i) - my) / s;
    const w = value(weights, i);
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

  const i00 = yy * sw - sy * sy;
  const i01 = sx * sy - xy * sw;
  const i02 = xy * sy - yy * sx;
  const i11 = xx * sw - sx * sx;
  const i12 = xy * sx - xx * sy;
  const i22 = xx * yy - xy * xy;
  const det = xx * i00 + xy * i01 + sx * i02;
  if (!(det > leastDet * xx * yy * sw)) return 0;
  const ta0 = -(i00 * xxx + i01 * xxy + i02 * xx) / det;
  const ta1 = -(i01 * xxx + i11 * xxy + i12 * xx) / det;
  const ta2 = -(i02 * xxx + i12 * xxy + i22 * xx) / det;
  const tb0 = -(i00 * xxy + i01 * xyy + i02 * xy) / det;
  const tb1 = -(i01 * xxy + i11 * xyy + i12 * xy) / det;
  const tb2 = -(i02 * xxy + i12 * xyy + i22 * xy) / det;
  const tc0 = -(i00 * xyy + i01 * yyy + i02 * yy) / det;
  const tc1 = -(i01 * xyy + i11 * yyy + i12 * yy) / det;
  const tc2 = -(i02 * xyy + i12 * yyy + i22 * yy) / det;
  // The rows of the matrix behind the inverse of the constraint: third, second and first, scaled.
  const u0 = 0.5 * (xxyy + dot(xyy, yyy, yy, ta0, ta1, ta2));
  const u1 = 0.5 * (xyyy + dot(xyy, yyy, yy, tb0, tb1, tb2));
  const u2 = 0.5 * (yyyy + dot(xyy, yyy, yy, tc0, tc1, tc2));
  const v0 = -1 * (xxxy + dot(xxy, xyy, xy, ta0, ta1, ta2));
  const v1 = -1 * (xxyy + dot(xxy, xyy, xy, tb0, tb1, tb2));
  const v2 = -1 * (xyyy + dot(xxy, xyy, xy, tc0, tc1, tc2));
  const w0 = 0.5 * (xxxx + dot(xxx, xxy, xx, ta0, ta1, ta2));
  const w1 = 0.5 * (xxxy + dot(xxx, xxy, xx, tb0, tb1, tb2));
  const w2 = 0.5 * (xxyy + dot(xxx, xxy, xx, tc0, tc1, tc2));

  const b = -(u0 + v1 + w2);
  const c = u0 * v1 - u1 * v0 + u0 * w2 - u2 * w0 + v1 * w2 - v2 * w1;
  const d = -dot(u0, u1, u2, v1 * w2 - v2 * w1, v2 * w0 - v0 * w2, v0 * w1 - v1 * w0);
  const p = max<f64>(0, (b * b) / 3 - c);
  const q = (2 * b * b * b) / 27 - (b * c) / 3 + d;
  const reach = 2 * sqrt(p / 3);
  const cosine: f64 = p > 0 ? min<f64>(1, max<f64>(-1, (-3 * q) / (p * reach))) : 1;
  let x = reach * cos(acos(cosine) / 3) - b / 3;
  for (let k = 0; k < 2; k++) {
    const slope = (3 * x + 2 * b) * x + c;
    if (slope > 0) x -= (((x + b) * x + c) * x + d) / slope;
  }
  // Of the products of two rows each the longest is the eigenvector.
  const r00 = u0 - x;
  const r11 = v1 - x;
  const r22 = w2 - x;
  let qa = u1 * v2 - u2 * r11;
  let qb = u2 * v0 - r00 * v2;
  let qc = r00 * r11 - u1 * v0;
  let most = dot(qa, qb, qc, qa, qb, qc);
  let ea = u1 * r22 - u2 * w1;
  let eb = u2 * w0 - r00 * r22;
  let ec = r00 * w1 - u1 * w0;
  let size = dot(ea, eb, ec, ea, eb, ec);
  if (size > most) {
    qa = ea;
    qb = eb;
    qc = ec;
    most = size;
  }
  ea = r11 * r22 - v2 * w1;
  eb = v2 * w0 - v0 * r22;
  ec = v0 * w1 - r11 * w0;
  size = dot(ea, eb, ec, ea, eb, ec);
  if (size > most) {
    qa = ea;
    qb = eb;
    qc = ec;
  }
  if (!(4 * qa * qc - qb * qb > 0)) return 0;
  const qd = ta0 * qa + tb0 * qb + tc0 * qc;
  const qe = ta1 * qa + tb1 * qb + tc1 * qc;
  const qf = ta2 * qa + tb2 * qb + tc2 * qc;
  return keep(qa, qb, qc, qd, qe, qf, mx, my, s);
}

/** Keeps the ellipse of a conic of normalised points; 0 where it is none. */
function keep(a: f64, b: f64, c: f64, d: f64, e: f64, f: f64, mx: f64, my: f64, s: f64): i32 {
  const det = 4 * a * c - b * b;
  const x0 = (b * e - 2 * c * d) / det;
  const y0 = (b * d - 2 * a * e) / det;
  const level = a * x0 * x0 + b * x0 * y0 + c * y0 * y0 + d * x0 + e * y0 + f;
  const mean = (a + c) / 2;
  const half = hypot((a - c) / 2, b / 2);
  const axis1 = -level / (mean - half);
  const axis2 = -level / (mean + half);
  if (!(axis1 > 0) || !(axis2 > 0)) return 0;
  const towardMinor = atan2(b, a - c) / 2;
  const minorIsThere = abs(mean + half) >= abs(mean - half);
  let theta = minorIsThere ? towardMinor + Math.PI / 2 : towardMinor;
  if (theta > Math.PI / 2) theta -= Math.PI;
  if (theta <= -Math.PI / 2) theta += Math.PI;
  store<f64>(ellipse, x0 * s + mx);
  store<f64>(ellipse, y0 * s + my, 8);
  store<f64>(ellipse, sqrt(max(axis1, axis2)) * s, 16);
  store<f64>(ellipse, sqrt(min(axis1, axis2)) * s, 24);
  store<f64>(ellipse, theta, 32);
  return 1;
}

/** Signed distances of `n` points from the ellipse along lines through its centre, and their magnitudes. */
function measure(n: i32): void {
  const x = value(ellipse, 0);
  const y = value(ellipse, 1);
  const a = value(ellipse, 2);
  const b = value(ellipse, 3);
  const c = cos(value(ellipse, 4));
  const s = sin(value(ellipse, 4));
  for (let i = 0; i < n; i++) {
    const dx = value(xs, i) - x;
    const dy = value(ys, i) - y;
    const u = c * dx + s * dy;
    const v = c * dy - s * dx;
    const distance = sqrt(u * u + v * v);
    const level = sqrt((u / a) * (u / a) + (v / b) * (v / b));
    const residual = level > 0 ? distance - distance / level : -b;
    store<f64>(residuals + (i << 3), residual);
    store<f64>(magnitudes + (i << 3), abs(residual));
  }
}

/** The k-th of the magnitudes, from the smallest on (Hoare 1961, CACM 4(7):321, from memory). */
function ranked(n: i32, k: i32): f64 {
  let low = 0;
  let high = n - 1;
  while (low < high) {
    const pivot = value(magnitudes, (low + high) >> 1);
    let i = low;
    let j = high;
    while (i <= j) {
      while (value(magnitudes, i) < pivot) i++;
      while (value(magnitudes, j) > pivot) j--;
      if (i > j) break;
      const one = value(magnitudes, i);
      store<f64>(magnitudes + (i << 3), value(magnitudes, j));
      store<f64>(magnitudes + (j << 3), one);
      i++;
      j--;
    }
    if (k <= j) high = j;
    else if (k >= i) low = i;
    else break;
  }
  return value(magnitudes, k);
}

/** Fits `n` points that all weigh the same; 0 where they define no ellipse. */
export function ellipseFit(n: i32): i32 {
  weighAlike(n);
  return fit(n);
}

function weighAlike(n: i32): void {
  for (let i = 0; i < n; i++) store<f64>(weights + (i << 3), 1);
}

/** Fits the ellipse through `n` points again and again with Tukey's weights; what lies in `ellipse` is what it starts from. */
export function ellipseThrough(n: i32): void {
  const x = value(ellipse, 0);
  const y = value(ellipse, 1);
  const a = value(ellipse, 2);
  const b = value(ellipse, 3);
  const theta = value(ellipse, 4);
  weighAlike(n);
  for (let iteration = 0; iteration < iterations; iteration++) {
    if (!fit(n)) {
      store<f64>(ellipse, x);
      store<f64>(ellipse, y, 8);
      store<f64>(ellipse, a, 16);
      store<f64>(ellipse, b, 24);
      store<f64>(ellipse, theta, 32);
    }
    if (iteration == iterations - 1) return;
    measure(n);
    const scale = max(leastScale, 1.4826 * ranked(n, n >> 1));
    for (let i = 0; i < n; i++) {
      const u = value(residuals, i) / (4 * scale);
      const near = 1 - u * u;
      store<f64>(weights + (i << 3), abs(u) < 1 ? near * near : 0);
    }
  }
}
