import { jackknifeCovariance, solveTogether, type NormalEquations } from './jackknife.ts';
import { candidatesPerRay, type RimEdges } from './rim-edges.ts';

/** How the rim moved and grew against the expected rim, with the evidence for it. */
export interface RimShift {
  dxPx: number;
  dyPx: number;
  /** Relative growth of the rim. */
  dScale: number;
  /** Relative stretch along x against y, and along the falling diagonal against the rising one. */
  stretch: readonly [number, number];
  varXPx2: number;
  varYPx2: number;
  covXYPx2: number;
  varScale: number;
  /** Share of rays whose edge agrees with the fit, 0 to 1. */
  inlierShare: number;
  /** Share of the circumference, in eighths, that holds agreeing edges: a rim seen on one side only is weak. */
  spread: number;
  rmsPx: number;
  /** Mean step of the agreeing edges, grey levels. */
  contrast: number;
  /** The candidate of each ray that agrees, as an index into the edges' arrays, or -1. */
  chosen: Int32Array;
}

export interface RimShiftOptions {
  /** Where the shift is looked for, and how far round it. */
  around?: { dx: number; dy: number };
  maxShiftPx: number;
  /** One sigma of what the rim's size may differ from the expected one, relative. */
  scaleSigma: number;
  /** The same of its stretch; a rim keeps its shape where this is left out. */
  stretchSigma?: number;
  /** What each ray is trusted, 0 to 1: rays that something hides say nothing of the rim. All of them where left out. */
  trust?: Float64Array;
  /** One sigma of where the rim may be against the expected place: breaks ties between equal fits. */
  shiftSigmaPx: number;
  /** Edges this far from the fit begin to count: the expected shape's own error. */
  kernelPx: number;
}

/** Steps of this size count in full: a rim may be fainter than the markings on its face. Common practice. */
const fullStep = 10;
/** Arcs that the rays are grouped into for the covariance. */
const arcs = 16;

/**
 * The shift and growth that the most edges agree with: an exhaustive vote over shifts (nothing to be unlucky
 * with), then iteratively reweighted least squares with Tukey's biweight.
 */
export function fitRimShift(edges: RimEdges, options: RimShiftOptions): RimShift | null {
  const weight = edgeWeights(edges);
  if (!weight) return null;
  const start = voteForShift(edges, weight, options);
  return refineShift(edges, weight, start, options);
}

/** Null where too few rays met an edge. */
function edgeWeights(edges: RimEdges): Float64Array | null {
  let met = 0;
  for (let i = 0; i < edges.rays; i++) if (edges.step[i * candidatesPerRay] !== 0) met++;
  return met < 8 ? null : edges.step.map(stepWeight);
}

/** Exhaustive vote over shifts: coarse over the whole range, then fine round the best. */
function voteForShift(
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
  let best = from;
  let bestScore = -Infinity;
  const n = Math.floor(reachPx / stepPx);
  for (let gy = -n; gy <= n; gy++) {
    for (let gx = -n; gx <= n; gx++) {
      const dx = from.dx + gx * stepPx;
      const dy = from.dy + gy * stepPx;
      let score = 0;
      for (let i = 0; i < edges.rays; i += stride) {
        const ray = trust ? trust[i] : 1;
        if (ray === 0) continue;
        const expected = edges.nx[i] * dx + edges.ny[i] * dy;
        let top = 0;
        for (let k = i * candidatesPerRay; k < (i + 1) * candidatesPerRay; k++) {
          const u = (edges.offsetPx[k] - expected) / kernelPx;
          // Also false for NaN: no more candidates on this ray.
          if (!(u < 1 && u > -1)) continue;
          const v = weight[k] * (1 - u * u);
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

/** Shift, growth and stretch are estimated together. */
const unknowns = 5;
/** A rim that keeps its shape: so little that it makes no difference. */
const rigid = 1e-5;

function refineShift(
  edges: RimEdges,
  weight: Float64Array,
  start: { dx: number; dy: number },
  options: RimShiftOptions,
): RimShift | null {
  const { kernelPx, trust } = options;
  let shift: ShiftValues = { dxPx: start.dx, dyPx: start.dy, dScale: 0, stretch: [0, 0] };
  let gate = kernelPx;
  const chosen = new Int32Array(edges.rays).fill(-1);
  const groups = Array.from({ length: arcs }, (): NormalEquations => ({
    matrix: new Float64Array(unknowns * unknowns),
    right: new Float64Array(unknowns),
  }));
  let prior: number[] = [];
  let sumW = 0;
  let sumWr2 = 0;
  let used = 0;
  let contrast = 0;
  const j = new Float64Array(unknowns);
  for (let iteration = 0; iteration < 8; iteration++) {
    for (const group of groups) {
      group.matrix.fill(0);
      group.right.fill(0);
    }
    sumW = 0;
    sumWr2 = 0;
    used = 0;
    contrast = 0;
    for (let i = 0; i < edges.rays; i++) {
      chosen[i] = -1;
      const ray = trust ? trust[i] : 1;
      if (ray === 0) continue;
      const expected = expectedOffset(edges, i, shift);
      const k = bestCandidate(edges, i, expected, gate);
      chosen[i] = k;
      if (k < 0) continue;
      const residual = edges.offsetPx[k] - expected;
      const u = residual / gate;
      const w = ray * weight[k] * (1 - u * u) ** 2;
      used++;
      contrast += Math.abs(edges.step[k]);
      sumW += w;
      sumWr2 += w * residual * residual;
      effectsOn(edges, i, j);
      const { matrix, right } = groups[Math.floor((i * arcs) / edges.rays)];
      for (let r = 0; r < unknowns; r++) {
        right[r] += w * j[r] * edges.offsetPx[k];
        for (let c = 0; c < unknowns; c++) matrix[r * unknowns + c] += w * j[r] * j[c];
      }
    }
    if (used < 8 || !(sumW > 0)) return null;
    // The expected size and shape as further measurements: no change, with its sigma.
    const variance = Math.max(0.04, sumWr2 / sumW);
    const stretchSigma = options.stretchSigma ?? rigid;
    const onScale = variance / (options.scaleSigma * options.scaleSigma);
    const onStretch = variance / (stretchSigma * stretchSigma);
    prior = [0, 0, onScale, onStretch, onStretch];
    const solution = solveTogether(groups, prior);
    const [dxPx, dyPx, dScale, along, across] = solution as [number, number, number, number, number];
    shift = { dxPx, dyPx, dScale, stretch: [along, across] };
    gate = Math.max(0.8, Math.min(kernelPx, 4 * Math.sqrt(sumWr2 / sumW)));
  }
  const { around = { dx: 0, dy: 0 } } = options;
  if (Math.hypot(shift.dxPx - around.dx, shift.dyPx - around.dy) > 1.5 * options.maxShiftPx + 2) return null;
  const rms = Math.sqrt(sumWr2 / sumW);
  const covariance = jackknifeCovariance(groups, prior);
  if (!covariance) return null;
  return {
    ...shift,
    varXPx2: covariance.get(0, 0),
    varYPx2: covariance.get(1, 1),
    covXYPx2: covariance.get(0, 1),
    varScale: covariance.get(2, 2),
    inlierShare: edges.insideCount >= leastInside * edges.rays ? used / edges.insideCount : 0,
    spread: spreadOf(edges, chosen),
    rmsPx: rms,
    contrast: contrast / used,
    chosen,
  };
}

/** What a rim's change is made of. */
type ShiftValues = Pick<RimShift, 'dxPx' | 'dyPx' | 'dScale' | 'stretch'>;

/** How far each of the unknowns moves the edge on a ray outward. */
function effectsOn(edges: RimEdges, ray: number, out: Float64Array): void {
  const nx = edges.nx[ray];
  const ny = edges.ny[ray];
  const px = edges.xPx[ray] - edges.centre.xPx;
  const py = edges.yPx[ray] - edges.centre.yPx;
  out[0] = nx;
  out[1] = ny;
  out[2] = nx * px + ny * py;
  out[3] = nx * px - ny * py;
  out[4] = nx * py + ny * px;
}

/** Where ray `ray` should meet the rim after the shift, as a signed distance outward. */
export function expectedOffset(edges: RimEdges, ray: number, shift: ShiftValues): number {
  const nx = edges.nx[ray];
  const ny = edges.ny[ray];
  const px = edges.xPx[ray] - edges.centre.xPx;
  const py = edges.yPx[ray] - edges.centre.yPx;
  const [along, across] = shift.stretch;
  return (
    nx * shift.dxPx +
    ny * shift.dyPx +
    (nx * px + ny * py) * shift.dScale +
    (nx * px - ny * py) * along +
    (nx * py + ny * px) * across
  );
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
    if (!(u < 1 && u > -1)) continue;
    const vote = stepWeight(edges.step[k]) * (1 - u * u);
    if (vote > most) {
      most = vote;
      best = k;
    }
  }
  return best;
}

export const stepWeight = (step: number): number => Math.min(1, Math.abs(step) / fullStep);

/** A rim of which less than this lies in the picture cannot be placed. */
const leastInside = 0.55;

function spreadOf(edges: RimEdges, chosen: Int32Array): number {
  const eighths = 8;
  const per = chosen.length / eighths;
  let looked = 0;
  let filled = 0;
  for (let e = 0; e < eighths; e++) {
    let agreeing = 0;
    let inside = 0;
    for (let i = Math.round(e * per); i < Math.round((e + 1) * per); i++) {
      inside += edges.inside[i];
      if (chosen[i] >= 0) agreeing++;
    }
    if (inside < 0.5 * per) continue;
    looked++;
    if (agreeing >= 0.4 * inside) filled++;
  }
  return looked > 0 ? filled / looked : 0;
}
