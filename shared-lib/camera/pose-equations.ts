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

/** Residuals of a view's edges and their derivatives: in each row by the common parameters, by the centre's two coordinates, then the residual. */
export interface Rows {
  /** Numbers in a row. */
  width: number;
  values: Float64Array;
  weight: Float64Array;
}

/** Adds a view's rows to the common equations; what belongs to its own centre alone is given back, to be taken out of them. */
export function addRows(
  { width, values, weight }: Rows,
  normal: Matrix,
  right: Matrix,
  v: RingAndCentre,
  kernelPx: number,
) {
  const n = normal.rows;
  const sums = new Float64Array((n + 2) * width);
  // Most edges lie on a curve that most parameters do not move.
  const moved = new Int32Array(n + 2);
  for (let i = 0, row = 0; i < weight.length; i++, row += width) {
    let count = 0;
    for (let a = 0; a < n + 2; a++) if (values[row + a] !== 0) moved[count++] = a;
    for (let k = 0; k < count; k++) {
      const scaled = weight[i] * values[row + moved[k]];
      const to = moved[k] * width;
      for (let m = k; m < count; m++) sums[to + moved[m]] += scaled * values[row + moved[m]];
      // The right side.
      sums[to + n + 2] -= scaled * values[row + n + 2];
    }
  }
  for (let a = 0; a < n + 2; a++) for (let b = 0; b < a; b++) sums[a * width + b] = sums[b * width + a];
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

const shareOf = ({ isOutline }: Match): number => (isOutline ? outlineShare : innerShare);

/** How likely the matched edge is as the curve's, against one that lies anywhere along the ray, times the curve's share. */
function edgeOf(edges: DiscEdges, match: Match, residualPx: number, kernelPx: number): number {
  if (match.point < 0) return 0;
  const peak = 1 / (Math.sqrt(2 * Math.PI) * kernelPx * edges.densityPerPx);
  return shareOf(match) * peak * edges.weight[match.point] * likeness(residualPx, kernelPx);
}

/** Kernels broader than this share of the radius are for being drawn in from afar. */
export const fineKernel = 0.025;
/** Of an edge at 0 against one that has nothing to do with the curve, while curves are drawn in. */
const background = 0.05;

/**
 * How surely a matched edge is the curve's, 0 to 1: the weight with which a step makes the score higher. While kernels are
 * broad rings weigh as much as outlines: they draw the fit in, and are many.
 */
export function weightOf(
  edges: DiscEdges,
  match: Match,
  residualPx: number,
  kernelPx: number,
  isFine: boolean,
): number {
  if (isFine) {
    const edge = edgeOf(edges, match, residualPx, kernelPx);
    return edge / (1 - shareOf(match) + edge);
  }
  const like = likeness(residualPx, kernelPx);
  return (edges.weight[match.point] * like) / (like + background);
}

export function scoreOf(
  edges: DiscEdges,
  matches: readonly Match[],
  { width, values }: Rows,
  kernelPx: number,
): number {
  let score = 0;
  let n = 0;
  for (const match of matches) {
    const residual = match.point >= 0 ? values[++n * width - 1] : 0;
    score += Math.log(1 - shareOf(match) + edgeOf(edges, match, residual, kernelPx));
  }
  return score / edgesPerIndependent;
}
