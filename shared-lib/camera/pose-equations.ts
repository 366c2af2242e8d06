import { Matrix } from 'ml-matrix';
import { likeness, type DiscEdges, type Match } from './disc-outline.ts';

/** Edges of one view share flaws of light and shape, and views do so again: so many count as one (measured on rendered clips). */
export const edgesPerIndependent = 12;
/** The near face's centre is within this of the place that the follower gave, as a share of the radius. */
const centreSigma = 0.15;
/** How often the outline shows an edge, and how often a ring or the step from the face to the disc's side does (measured on rendered clips). */
const outlineShare = 0.8;
const innerShare = 0.3;

/** Where a view's ring was followed and where its near face's centre is taken to be, px. */
export interface RingAndCentre {
  ring: { xPx: number; yPx: number };
  centre: { xPx: number; yPx: number };
  radiusPx: number;
}

export interface Row {
  residual: number;
  byParameters: number[];
  byCentre: number[];
  weight: number;
}

/** Adds a view's rows to the common equations; what belongs to its own centre alone is given back, to be taken out of them. */
export function addRows(
  rows: readonly Row[],
  normal: Matrix,
  right: Matrix,
  v: RingAndCentre,
  kernelPx: number,
) {
  const n = normal.rows;
  // The common parameters first, then the centre's two coordinates, then the right side.
  const width = n + 3;
  const sums = new Float64Array((n + 2) * width);
  const row = new Float64Array(width);
  for (const { residual, byParameters, byCentre, weight } of rows) {
    row.set(byParameters);
    row.set(byCentre, n);
    row[n + 2] = -residual;
    for (let a = 0; a < n + 2; a++) {
      const scaled = weight * row[a];
      if (scaled === 0) continue;
      for (let b = 0; b < width; b++) sums[a * width + b] += scaled * row[b];
    }
  }
  const known = (kernelPx / (centreSigma * v.radiusPx)) ** 2;
  const away = [v.ring.xPx - v.centre.xPx, v.ring.yPx - v.centre.yPx];
  const own = Matrix.zeros(2, 2);
  const ownRight = Matrix.zeros(2, 1);
  const mixed = Matrix.zeros(n, 2);
  for (let a = 0; a < n; a++) {
    for (let b = 0; b < n; b++) normal.set(a, b, normal.get(a, b) + sums[a * width + b]);
    for (let b = 0; b < 2; b++) mixed.set(a, b, sums[a * width + n + b]);
    right.set(a, 0, right.get(a, 0) + sums[a * width + n + 2]);
  }
  for (let a = 0; a < 2; a++) {
    for (let b = 0; b < 2; b++) own.set(a, b, sums[(n + a) * width + n + b] + (a === b ? known : 0));
    ownRight.set(a, 0, sums[(n + a) * width + n + 2] + known * away[a]);
  }
  return { own, ownRight, mixed };
}

export function scoreOf(
  edges: DiscEdges,
  matches: readonly Match[],
  rows: readonly Row[],
  kernelPx: number,
): number {
  const peak = 1 / (Math.sqrt(2 * Math.PI) * kernelPx * edges.densityPerPx);
  let score = 0;
  let n = 0;
  for (const { point, isOutline } of matches) {
    const share = isOutline ? outlineShare : innerShare;
    const like = point >= 0 ? edges.weight[point] * likeness(rows[n++].residual, kernelPx) : 0;
    score += Math.log(1 - share + share * peak * like);
  }
  return score / edgesPerIndependent;
}
