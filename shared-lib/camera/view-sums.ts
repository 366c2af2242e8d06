import { curveOf, likeness, matchEdges, type DiscEdges, type DiscOutline } from './disc-outline.ts';
import { matchMemory, pairItself, pairMoved, type MatchExports } from './match-memory.ts';
import { distanceFrom } from './pinhole.ts';

/** What is sought of the camera and the disc, but for the rings on its face. */
export const common = 5;
/** How many of the parameters move every curve, and by how much each is changed to see what that does. */
export const ofAllCurves = 4;
export const difference = [1e-3, 1e-4, 1e-4, 1e-5, 1e-4] as const;
export const ringStep = 1e-4;
export const centreStepPx = 0.1;
/** How often the outline shows an edge, and how often a ring or the step from the face to the disc's side does (measured on rendered clips). */
const outlineShare = 0.8;
const innerShare = 0.3;
/** Of an edge at 0 against one that has nothing to do with the curve, while curves are drawn in. */
const background = 0.05;

/** One view's outline under a fit's parameters, and under those changed a little. */
export interface ChangedOutlines {
  here: DiscOutline;
  /** With each of the parameters that move every curve changed by its `difference`. */
  by: readonly DiscOutline[];
  /** With the centre `centreStepPx` farther to the right, and farther down. */
  right: DiscOutline;
  down: DiscOutline;
  /** With what moves a curve alone changed: thickness and the rings' shares, by `ringStep`; how far the rings stand out, by as much. */
  first: DiscOutline;
  second: DiscOutline;
}

export interface ViewSums {
  /**
   * Weighted products of the derivatives of the edges' distances from their curves, (n + 2) rows of n + 3: by the n parameters and
   * by the centre's two coordinates, and last of each with the distance itself, px. Symmetric but for the last.
   */
  sums: Float64Array;
  /** Log likelihood of the edges, against edges that lie anywhere along the rays. */
  score: number;
  /** Rays on which the outline shows. */
  shown: number;
}

/** What kernels/pose.ts exports besides, as WebAssembly sees it. */
interface PoseExports extends MatchExports {
  poseStepsAt(): number;
  poseSumsAt(): number;
  poseSums(
    points: number,
    rings: number,
    kernelPx: number,
    peak: number,
    isFine: boolean,
    isScored: boolean,
  ): void;
}

type SumsOfView = (
  edges: DiscEdges,
  outlines: ChangedOutlines,
  kernelPx: number,
  isFine: boolean,
  isScored: boolean,
) => ViewSums | null;

let compiled: SumsOfView | null = null;

/** Has views gone over by compiled code from now on, with the same result to the bit; by the plain code again with null. */
export function usePoseKernel(exports: unknown): void {
  const wasm = exports as PoseExports | null;
  compiled = wasm && sumsCompiled(wasm);
}

/**
 * What a view's edges say of a pose and of the near face's centre: each is matched to the curve that it likeliest shows.
 *
 * @param kernelPx how far edges lie from their curve, one sigma
 * @param isFine whether an edge weighs by how surely it is its curve's; else nearly alike, to be drawn in from afar
 * @param isScored whether the likelihood is asked; else it is 0
 */
export const viewSums = (...of: Parameters<SumsOfView>): ViewSums => compiled?.(...of) ?? sumsPlainly(...of);

/** The compiled code's sums: six rows of eight of what moves every curve; for each curve two rows of eight and three products in four places. */
const ofRow = 8;
const commonRows = 6;
const perOwn = 20;

function sumsCompiled(wasm: PoseExports): SumsOfView {
  const { buffer } = wasm.memory;
  const memory = matchMemory(wasm);
  const mostCurves = wasm.mostPoseCurves();
  const sums = new Float64Array(buffer, wasm.poseSumsAt(), commonRows * ofRow + mostCurves * perOwn + 2);
  const totals = commonRows * ofRow + mostCurves * perOwn;
  const steps = new Float64Array(buffer, wasm.poseStepsAt(), 10);
  const thicknessStep = difference[ofAllCurves];
  steps.set([...difference.slice(0, ofAllCurves), centreStepPx, centreStepPx]);
  steps.set([thicknessStep, thicknessStep, ringStep, ringStep], 6);
  return (edges, { here, by, right, down, first, second }, kernelPx, isFine, isScored) => {
    const rings = here.rings.length;
    if (!memory.putEdges(edges, rings)) return null;
    memory.putPair(0, by[0], by[1]);
    memory.putPair(1, by[2], by[3]);
    memory.putPair(pairMoved, right, down);
    memory.putPair(pairItself, here, here);
    memory.putPair(4, first, second);
    const peak = peakOf(edges, kernelPx);
    wasm.poseSums(edges.xPx.length, rings, kernelPx, peak, isFine, isScored);
    return { sums: spreadOut(sums, rings), score: sums[totals], shown: sums[totals + 1] };
  };
}

/** The compiled code's sums in the order of the parameters. */
function spreadOut(compact: Float64Array, rings: number): Float64Array {
  const n = common + 2 * rings;
  const width = n + 3;
  const to = new Float64Array((n + 2) * width);
  const put = (row: number, column: number, value: number): void => {
    to[row * width + column] = value;
    if (column < n + 2) to[column * width + row] = value;
  };
  // Where each column of its rows belongs: the four of all curves, the centre's two, the distance.
  const places = [0, 1, 2, 3, n, n + 1, n + 2];
  for (let r = 0; r < commonRows; r++)
    for (let c = r; c < places.length; c++) put(places[r], places[c], compact[r * ofRow + c]);
  const putOwn = (row: number, from: number): void => {
    for (let c = 0; c < places.length; c++) put(row, places[c], compact[from + c]);
  };
  const own = commonRows * ofRow;
  const products = 2 * ofRow;
  putOwn(ofAllCurves, own + perOwn);
  put(ofAllCurves, ofAllCurves, compact[own + perOwn + products]);
  for (let r = 0, row = common; r < rings; r++, row += 2) {
    const from = own + (r + 2) * perOwn;
    putOwn(row, from);
    putOwn(row + 1, from + ofRow);
    put(row, row, compact[from + products]);
    put(row, row + 1, compact[from + products + 1]);
    put(row + 1, row + 1, compact[from + products + 3]);
  }
  return to;
}

function sumsPlainly(
  edges: DiscEdges,
  { here, by, right, down, first, second }: ChangedOutlines,
  kernelPx: number,
  isFine: boolean,
  isScored: boolean,
): ViewSums {
  const matches = matchEdges(edges, here, kernelPx);
  const peak = peakOf(edges, kernelPx);
  const n = common + 2 * here.rings.length;
  const width = n + 3;
  const sums = new Float64Array((n + 2) * width);
  const row = new Float64Array(width);
  /** Those that move a match's curve: most move none but their own. */
  const moving = new Int32Array(ofAllCurves + 4);
  let score = 0;
  let shown = 0;
  for (const { point, curve, isOutline } of matches) {
    const share = isOutline ? outlineShare : innerShare;
    if (point < 0) {
      if (isScored) score += Math.log(1 - share);
      continue;
    }
    if (isOutline) shown++;
    const x = edges.xPx[point];
    const y = edges.yPx[point];
    const residual = distanceFrom(curveOf(here, curve), x, y);
    let count = 0;
    for (let a = 0; a < ofAllCurves; a++) {
      row[a] = (distanceFrom(curveOf(by[a], curve), x, y) - residual) / difference[a];
      moving[count++] = a;
    }
    if (curve !== 'near') {
      const own = curve === 'far' ? ofAllCurves : common + 2 * curve;
      const step = curve === 'far' ? difference[ofAllCurves] : ringStep;
      row[own] = (distanceFrom(curveOf(first, curve), x, y) - residual) / step;
      moving[count++] = own;
      if (curve !== 'far') {
        row[own + 1] = (distanceFrom(curveOf(second, curve), x, y) - residual) / ringStep;
        moving[count++] = own + 1;
      }
    }
    row[n] = (distanceFrom(curveOf(right, curve), x, y) - residual) / centreStepPx;
    row[n + 1] = (distanceFrom(curveOf(down, curve), x, y) - residual) / centreStepPx;
    moving[count++] = n;
    moving[count++] = n + 1;
    const like = likeness(residual, kernelPx);
    const edge = share * peak * edges.weight[point] * like;
    if (isScored) score += Math.log(1 - share + edge);
    const weight = isFine ? edge / (1 - share + edge) : (edges.weight[point] * like) / (like + background);
    for (let k = 0; k < count; k++) {
      const to = moving[k] * width;
      const scaled = weight * row[moving[k]];
      for (let m = k; m < count; m++) sums[to + moving[m]] += scaled * row[moving[m]];
      sums[to + n + 2] += scaled * residual;
    }
  }
  for (let a = 0; a < n + 2; a++) for (let b = 0; b < a; b++) sums[a * width + b] = sums[b * width + a];
  return { sums, score, shown };
}

/** How likely an edge is as a curve's that lies on it, against one that lies anywhere along the ray. */
const peakOf = ({ densityPerPx }: DiscEdges, kernelPx: number): number =>
  1 / (Math.sqrt(2 * Math.PI) * kernelPx * densityPerPx);
