import {
  curveOf,
  likeness,
  matchEdges,
  rays,
  type DiscEdges,
  type DiscOutline,
  type Match,
} from './disc-outline.ts';
import { matchMemory, pairItself, pairMoved, type MatchExports } from './match-memory.ts';
import { distanceFrom } from './pinhole.ts';

/** A disc's curves about a centre, and about ones a little to the right and below. */
export interface NudgedOutlines {
  here: DiscOutline;
  right: DiscOutline;
  below: DiscOutline;
}

/** Pixels by which curves are moved to see how their distances change. */
const nudgePx = 0.1;
/** Eighths of a disc: what passes before it leaves a few of them whole. */
const sectors = 8;
/** Of an edge at 0 against one that has nothing to do with the curve. */
const background = 0.05;

export const nudged = (
  outlineAt: (xPx: number, yPx: number) => DiscOutline,
  xPx: number,
  yPx: number,
): NudgedOutlines => ({
  here: outlineAt(xPx, yPx),
  right: outlineAt(xPx + nudgePx, yPx),
  below: outlineAt(xPx, yPx + nudgePx),
});

/** The normal equations of a step of the centre, px. */
export interface CentrePulls {
  xx: number;
  xy: number;
  yy: number;
  bx: number;
  by: number;
  /** Weighted squares of the edges' distances from their curves, px², and the weights. */
  squares: number;
  weights: number;
  /** Rays on which the outline shows. */
  shown: number;
  /** How much of the outline and the rings shows in each eighth of the disc, from the right clockwise: edges per ray. */
  shownIn: number[];
}

/** Unknowns of a disc drawn out of shape: right, down, growth, stretch, shear. */
export const ofShape = 5;

/** The normal equations of a disc's shape: `ofShape` rows of as many, and as many moments. */
export interface ShapePulls {
  normal: Float64Array;
  moments: Float64Array;
}

interface Pulls {
  onCentre: (edges: DiscEdges, curves: NudgedOutlines, kernelPx: number) => CentrePulls | null;
  onShape: (
    edges: DiscEdges,
    curves: NudgedOutlines,
    kernelPx: number,
    xPx: number,
    yPx: number,
  ) => ShapePulls | null;
}

/** What kernels/settle.ts exports besides, as WebAssembly sees it. */
interface SettleExports extends MatchExports {
  settlePullsAt(): number;
  settleCentre(points: number, rings: number, kernelPx: number, nudgePx: number): void;
  settleShape(
    points: number,
    rings: number,
    kernelPx: number,
    nudgePx: number,
    xPx: number,
    yPx: number,
  ): void;
}

let compiled: Pulls | null = null;

/** Has compiled code take the pulls from now on, with the same result to the bit; the plain code again with null. */
export function useSettleKernel(exports: unknown): void {
  const wasm = exports as SettleExports | null;
  compiled = wasm && pullsCompiled(wasm);
}

/**
 * What edges pull the disc's centre by: each is matched to the curve that it likeliest shows.
 * @param kernelPx how far edges lie from their curve, one sigma
 */
export const pullsOnCentre = (...of: Parameters<Pulls['onCentre']>): CentrePulls =>
  compiled?.onCentre(...of) ?? centrePlainly(...of);

/** The same of its centre, size, stretch and shear about a place. */
export const pullsOnShape = (...of: Parameters<Pulls['onShape']>): ShapePulls =>
  compiled?.onShape(...of) ?? shapePlainly(...of);

/** A row of the compiled code's products is one longer than there are unknowns. */
const ofRow = ofShape + 1;

function pullsCompiled(wasm: SettleExports): Pulls {
  const memory = matchMemory(wasm);
  const pulls = new Float64Array(wasm.memory.buffer, wasm.settlePullsAt(), ofShape * ofRow + ofShape);
  const put = (edges: DiscEdges, { here, right, below }: NudgedOutlines): boolean => {
    if (!memory.putEdges(edges, here.rings.length)) return false;
    memory.putPair(pairItself, here, here);
    memory.putPair(pairMoved, right, below);
    return true;
  };
  return {
    onCentre(edges, curves, kernelPx) {
      if (!put(edges, curves)) return null;
      wasm.settleCentre(edges.xPx.length, curves.here.rings.length, kernelPx, nudgePx);
      const [xx, xy, yy, bx, by, squares, weights, shown, ...shownIn] = pulls.subarray(0, 8 + sectors);
      return { xx, xy, yy, bx, by, squares, weights, shown, shownIn };
    },
    onShape(edges, curves, kernelPx, xPx, yPx) {
      if (!put(edges, curves)) return null;
      wasm.settleShape(edges.xPx.length, curves.here.rings.length, kernelPx, nudgePx, xPx, yPx);
      const normal = new Float64Array(ofShape * ofShape);
      for (let a = 0; a < ofShape; a++)
        for (let b = 0; b < ofShape; b++) normal[a * ofShape + b] = pulls[a * ofRow + b];
      return { normal, moments: pulls.slice(ofShape * ofRow) };
    },
  };
}

function centrePlainly(edges: DiscEdges, curves: NudgedOutlines, kernelPx: number): CentrePulls {
  const shownIn = new Array<number>(sectors).fill(0);
  const sums = { xx: 0, xy: 0, yy: 0, bx: 0, by: 0, squares: 0, weights: 0, shown: 0, shownIn };
  let ray = 0;
  for (const match of matchEdges(edges, curves.here, kernelPx)) {
    if (match.point < 0) continue;
    const { residual, gx, gy, like, weight } = pullOf(edges, match, curves, kernelPx);
    sums.xx += weight * gx * gx;
    sums.xy += weight * gx * gy;
    sums.yy += weight * gy * gy;
    sums.bx -= weight * gx * residual;
    sums.by -= weight * gy * residual;
    sums.squares += weight * residual * residual;
    sums.weights += weight;
    if (match.isOutline) sums.shown++;
    while (edges.first[ray + 1] <= match.point) ray++;
    shownIn[Math.floor((ray * sectors) / rays)] += (sectors / rays) * edges.weight[match.point] * like;
  }
  return sums;
}

function shapePlainly(
  edges: DiscEdges,
  curves: NudgedOutlines,
  kernelPx: number,
  xPx: number,
  yPx: number,
): ShapePulls {
  const normal = new Float64Array(ofShape * ofShape);
  const moments = new Float64Array(ofShape);
  const row = new Float64Array(ofShape);
  for (const match of matchEdges(edges, curves.here, kernelPx)) {
    if (match.point < 0) continue;
    const { residual, gx, gy, weight } = pullOf(edges, match, curves, kernelPx);
    const [dx, dy] = [edges.xPx[match.point] - xPx, edges.yPx[match.point] - yPx];
    row[0] = gx;
    row[1] = gy;
    row[2] = gx * dx + gy * dy;
    row[3] = gy * dy;
    row[4] = gy * dx;
    for (let a = 0; a < ofShape; a++) {
      moments[a] -= weight * row[a] * residual;
      for (let b = 0; b < ofShape; b++) normal[ofShape * a + b] += weight * row[a] * row[b];
    }
  }
  return { normal, moments };
}

/** How far a matched edge lies off its curve, how that changes as the centre moves, and how much it counts. */
function pullOf(
  edges: DiscEdges,
  { point, curve }: Match,
  { here, right, below }: NudgedOutlines,
  kernelPx: number,
) {
  const x = edges.xPx[point];
  const y = edges.yPx[point];
  const residual = distanceFrom(curveOf(here, curve), x, y);
  const gx = (distanceFrom(curveOf(right, curve), x, y) - residual) / nudgePx;
  const gy = (distanceFrom(curveOf(below, curve), x, y) - residual) / nudgePx;
  const like = likeness(residual, kernelPx);
  return { residual, gx, gy, like, weight: (edges.weight[point] * like) / (like + background) };
}
