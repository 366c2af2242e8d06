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
  const { around: start = { dx: 0, dy: 0 } } = options;
  const n = Math.floor(reachPx / stepPx);
  const rest = mostFrom(edges, weight, options.trust, stride);
  const perKernel = 1 / kernelPx;
  const scoreAt = (dx: number, dy: number, least: number): number => {
    const [x, y] = [dx - start.dx, dy - start.dy];
    const far = (x * x + y * y) / (options.shiftSigmaPx * options.shiftSigmaPx);
    return score(
      edges,
      weight,
      options.trust,
      rest,
      stride,
      dx,
      dy,
      perKernel,
      1 - 0.1 * Math.min(1, far / 9),
      least,
    );
  };
  let best = from;
  let bestScore = -Infinity;
  // What the middle gets, the best gets at least: of other shifts no more is worked out than shows that they get less.
  const least = scoreAt(from.dx, from.dy, -Infinity);
  for (let gy = -n; gy <= n; gy++) {
    for (let gx = -n; gx <= n; gx++) {
      const dx = from.dx + gx * stepPx;
      const dy = from.dy + gy * stepPx;
      const here = scoreAt(dx, dy, Math.max(least, bestScore));
      if (here > bestScore) {
        bestScore = here;
        best = { dx, dy };
      }
    }
  }
  return best;
}

/** The most that the rays from each one on can add to a score, which is never told short. */
function mostFrom(
  { rays }: RimEdges,
  weight: Float64Array,
  trust: Float64Array | undefined,
  stride: number,
): Float64Array {
  const rest = new Float64Array(rays + stride);
  const last = Math.floor((rays - 1) / stride) * stride;
  for (let i = last; i >= 0; i -= stride) {
    let top = 0;
    for (let k = i * candidatesPerRay; k < (i + 1) * candidatesPerRay; k++) top = Math.max(top, weight[k]);
    // A little more than exact, for what rounding may add the other way.
    rest[i] = (rest[i + stride] + (trust ? trust[i] : 1) * top) * (1 + 1e-12);
  }
  return rest;
}

/** How much the edges agree with a shift, times `nearness`; anything below `least` where it is less than that. */
function score(
  { rays, nx, ny, offsetPx }: RimEdges,
  weight: Float64Array,
  trust: Float64Array | undefined,
  rest: Float64Array,
  stride: number,
  dx: number,
  dy: number,
  perKernel: number,
  nearness: number,
  least: number,
): number {
  let sum = 0;
  for (let i = 0; i < rays; i += stride) {
    if ((sum + rest[i]) * nearness < least) return -Infinity;
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
    sum += ray * top;
  }
  return sum * nearness;
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
