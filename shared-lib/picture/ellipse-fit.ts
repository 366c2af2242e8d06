import { EigenvalueDecomposition, inverse, Matrix } from 'ml-matrix';
import type { Rim } from '../contract/trace.ts';

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
  if (n < 5) return null;
  const { mx, my, s } = centreAndScale(xPx, yPx);
  if (!(s > 0)) return null;

  // Weighted sums of x^i y^j, named by their powers; every picture has some thousand points fitted.
  let [xxxx, xxxy, xxyy, xyyy, yyyy, xxx, xxy, xyy, yyy, xx, xy, yy, sx, sy, sw] = new Float64Array(15);
  for (let i = 0; i < n; i++) {
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
  const s1 = new Matrix([
    [xxxx, xxxy, xxyy],
    [xxxy, xxyy, xyyy],
    [xxyy, xyyy, yyyy],
  ]);
  const s2 = new Matrix([
    [xxx, xxy, xx],
    [xxy, xyy, xy],
    [xyy, yyy, yy],
  ]);
  const s3 = new Matrix([
    [xx, xy, sx],
    [xy, yy, sy],
    [sx, sy, sw],
  ]);
  let t: Matrix;
  try {
    t = inverse(s3).mmul(s2.transpose()).mul(-1);
  } catch {
    return null;
  }
  const m = s1.add(s2.mmul(t));
  const reduced = new Matrix([
    m.getRow(2).map((v) => v / 2),
    m.getRow(1).map((v) => -v),
    m.getRow(0).map((v) => v / 2),
  ]);
  const eigen = new EigenvalueDecomposition(reduced);
  const vectors = eigen.eigenvectorMatrix;
  for (let k = 0; k < 3; k++) {
    const [a, b, c] = vectors.getColumn(k) as [number, number, number];
    if (4 * a * c - b * b > 0) {
      const [d, e, f] = t.mmul(Matrix.columnVector([a, b, c])).getColumn(0) as [number, number, number];
      return ellipseOfConic(a, b, c, d, e, f, mx, my, s);
    }
  }
  return null;
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
