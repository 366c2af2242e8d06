import { candidatesPerRay, type RimEdges } from './rim-edges.ts';
import type { RimShiftOptions } from './rim-fit.ts';

/** Steps of this size count in full: a rim may be fainter than the markings on its face. Common practice. */
const fullStep = 10;
export const stepWeight = (step: number): number => Math.min(1, Math.abs(step) / fullStep);

/** Exhaustive vote over shifts: coarse over the whole range, then fine round the best. */
export function voteForShift(
  edges: RimEdges,
  weight: Float64Array,
  options: RimShiftOptions,
): { dx: number; dy: number } {
  const { kernelPx, maxShiftPx } = options;
  const coarse = Math.max(kernelPx, 1.5);
  const start = options.around ?? { dx: 0, dy: 0 };
  const near =
    maxShiftPx > 2 * coarse
      ? vote(edges, weight, options, start, maxShiftPx, coarse, 1.5 * coarse, 2)
      : start;
  const reach = near === start ? maxShiftPx : 2 * coarse;
  return vote(edges, weight, options, near, reach, kernelPx / 2, kernelPx, 1);
}

function vote(
  edges: RimEdges,
  weight: Float64Array,
  options: RimShiftOptions,
  from: { dx: number; dy: number },
  reachPx: number,
  stepPx: number,
  kernelPx: number,
  stride: number,
): { dx: number; dy: number } {
  const { trust, around: start = { dx: 0, dy: 0 } } = options;
  const { rays, nx, ny, offsetPx } = edges;
  let best = from;
  let bestScore = -Infinity;
  const n = Math.floor(reachPx / stepPx);
  const perKernel = 1 / kernelPx;
  for (let gy = -n; gy <= n; gy++) {
    for (let gx = -n; gx <= n; gx++) {
      const dx = from.dx + gx * stepPx;
      const dy = from.dy + gy * stepPx;
      let score = 0;
      for (let i = 0; i < rays; i += stride) {
        const ray = trust ? trust[i] : 1;
        if (ray === 0) continue;
        const expected = nx[i] * dx + ny[i] * dy;
        let top = 0;
        const end = (i + 1) * candidatesPerRay;
        for (let k = end - candidatesPerRay; k < end; k++) {
          const u = (offsetPx[k] - expected) * perKernel;
          const v = weight[k] * (1 - u * u);
          // Also false for NaN: no more candidates on this ray.
          if (v > top) top = v;
        }
        score += ray * top;
      }
      const far =
        ((dx - start.dx) ** 2 + (dy - start.dy) ** 2) / (options.shiftSigmaPx * options.shiftSigmaPx);
      score *= 1 - 0.1 * Math.min(1, far / 9);
      if (score > bestScore) {
        bestScore = score;
        best = { dx, dy };
      }
    }
  }
  return best;
}

/**
 * The candidate of a ray that speaks most for an expected distance, as an index into the edges' arrays: near
 * and strong; -1 where none lies within the gate. Faint edges, which noise makes anywhere, give way.
 */
export function bestCandidate(edges: RimEdges, ray: number, expected: number, gatePx: number): number {
  let best = -1;
  let most = 0;
  for (let k = ray * candidatesPerRay; k < (ray + 1) * candidatesPerRay; k++) {
    const u = (edges.offsetPx[k] - expected) / gatePx;
    const vote = stepWeight(edges.step[k]) * (1 - u * u);
    // Also false for NaN and beyond the gate.
    if (vote > most) {
      most = vote;
      best = k;
    }
  }
  return best;
}

/** The same where the weights of all candidates are known. */
export function bestWeighted(
  offsetPx: Float64Array,
  weight: Float64Array,
  ray: number,
  expected: number,
  gatePx: number,
): number {
  let best = -1;
  let most = 0;
  const end = (ray + 1) * candidatesPerRay;
  for (let k = end - candidatesPerRay; k < end; k++) {
    const u = (offsetPx[k] - expected) / gatePx;
    const vote = weight[k] * (1 - u * u);
    if (vote > most) {
      most = vote;
      best = k;
    }
  }
  return best;
}
