import { jackknifeCovariance, solveTogether, type NormalEquations } from './jackknife.ts';
import { candidatesPerRay, type RimEdges } from './rim-edges.ts';
import { fitCompiled } from './rim-fit-kernel.ts';
import { bestWeighted, stepWeight, voteForShift } from './rim-vote.ts';

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

/** Arcs that the rays are grouped into for the covariance. */
const arcs = 16;

/** What was fitted to the edges, before it is judged. */
export interface FittedRim {
  shift: ShiftValues;
  /** Weights of the edges that agree, with their squared distances from the fit, px², how many they are, and their steps. */
  sumW: number;
  sumWr2: number;
  used: number;
  contrast: number;
  chosen: Int32Array;
  /** Asked for at once or not at all; null where what is left of the edges determines none. */
  covariance: () => Pick<RimShift, 'varXPx2' | 'covXYPx2' | 'varYPx2' | 'varScale'> | null;
}

/** Fits the edges; null where too few agree. @param stretchSigma small where the rim keeps its shape */
export type RimFitter = (
  edges: RimEdges,
  options: RimShiftOptions & Required<Pick<RimShiftOptions, 'around'>>,
  stretchSigma: number,
) => FittedRim | null;

let compiled: ReturnType<typeof fitCompiled> | null = null;

/** Has compiled code fit rims from now on, with the same result to the bit; the plain code again with null. */
export function useRimFitKernel(exports: unknown): void {
  compiled = exports === null ? null : fitCompiled(exports);
}

/**
 * The shift and growth that the most edges agree with: an exhaustive vote over shifts (nothing to be unlucky
 * with), then iteratively reweighted least squares with Tukey's biweight.
 */
export function fitRimShift(edges: RimEdges, options: RimShiftOptions): RimShift | null {
  const { around = { dx: 0, dy: 0 }, stretchSigma = rigid } = options;
  const looked = { ...options, around };
  const byCode = compiled?.(edges, looked, stretchSigma);
  const fitted = byCode === undefined ? fitPlainly(edges, looked, stretchSigma) : byCode;
  if (!fitted) return null;
  const { shift, sumW, sumWr2, used, contrast, chosen } = fitted;
  if (Math.hypot(shift.dxPx - around.dx, shift.dyPx - around.dy) > 1.5 * options.maxShiftPx + 2) return null;
  const covariance = fitted.covariance();
  if (!covariance) return null;
  return {
    ...shift,
    ...covariance,
    inlierShare: edges.insideCount >= leastInside * edges.rays ? used / edges.insideCount : 0,
    spread: spreadOf(edges, chosen),
    rmsPx: Math.sqrt(sumWr2 / sumW),
    contrast: contrast / used,
    chosen,
  };
}

const fitPlainly: RimFitter = (edges, options, stretchSigma) => {
  const weight = edgeWeights(edges);
  if (!weight) return null;
  const start = voteForShift(edges, weight, options);
  return refineShift(edges, weight, start, options, stretchSigma);
};

/** What each candidate weighs; null where too few rays met an edge. */
function edgeWeights(edges: RimEdges): Float64Array | null {
  let met = 0;
  for (let i = 0; i < edges.rays; i++) if (edges.step[i * candidatesPerRay] !== 0) met++;
  return met < 8 ? null : edges.step.map(stepWeight);
}

/** Shift, growth and stretch are estimated together. */
const unknowns = 5;
const mostIterations = 8;
/** Edges that move by less than this from one iteration to the next have settled, px: far below what one picture tells. */
const settledPx = 1e-4;
/** A rim that keeps its shape: so little that it makes no difference. */
const rigid = 1e-5;

function refineShift(
  edges: RimEdges,
  weight: Float64Array,
  start: { dx: number; dy: number },
  options: RimShiftOptions,
  stretchSigma: number,
): FittedRim | null {
  const { kernelPx, trust } = options;
  const { rays, offsetPx, step } = edges;
  let shift: ShiftValues = { dxPx: start.dx, dyPx: start.dy, dScale: 0, stretch: [0, 0] };
  let gate = kernelPx;
  const chosen = new Int32Array(rays).fill(-1);
  const effects = effectsOf(edges);
  let prior: number[] = [];
  let sumW = 0;
  let sumWr2 = 0;
  let used = 0;
  let contrast = 0;
  for (let iteration = 0; iteration < mostIterations; iteration++) {
    for (const group of groups) {
      group.matrix.fill(0);
      group.right.fill(0);
    }
    sumW = 0;
    sumWr2 = 0;
    used = 0;
    contrast = 0;
    const { dxPx: dx, dyPx: dy, dScale: growth } = shift;
    const [along, across] = shift.stretch;
    for (let i = 0; i < rays; i++) {
      chosen[i] = -1;
      const ray = trust ? trust[i] : 1;
      if (ray === 0) continue;
      const e = i * unknowns;
      const j0 = effects[e];
      const j1 = effects[e + 1];
      const j2 = effects[e + 2];
      const j3 = effects[e + 3];
      const j4 = effects[e + 4];
      const expected = j0 * dx + j1 * dy + j2 * growth + j3 * along + j4 * across;
      const k = bestWeighted(offsetPx, weight, i, expected, gate);
      chosen[i] = k;
      if (k < 0) continue;
      const offset = offsetPx[k];
      const residual = offset - expected;
      const u = residual / gate;
      const near = 1 - u * u;
      const w = ray * weight[k] * (near * near);
      used++;
      contrast += Math.abs(step[k]);
      sumW += w;
      sumWr2 += w * residual * residual;
      const { matrix, right } = groups[Math.floor((i * arcs) / rays)];
      const w0 = w * j0;
      const w1 = w * j1;
      const w2 = w * j2;
      const w3 = w * j3;
      const w4 = w * j4;
      matrix[0] += w0 * j0;
      matrix[1] += w0 * j1;
      matrix[2] += w0 * j2;
      matrix[3] += w0 * j3;
      matrix[4] += w0 * j4;
      matrix[6] += w1 * j1;
      matrix[7] += w1 * j2;
      matrix[8] += w1 * j3;
      matrix[9] += w1 * j4;
      matrix[12] += w2 * j2;
      matrix[13] += w2 * j3;
      matrix[14] += w2 * j4;
      matrix[18] += w3 * j3;
      matrix[19] += w3 * j4;
      matrix[24] += w4 * j4;
      right[0] += w0 * offset;
      right[1] += w1 * offset;
      right[2] += w2 * offset;
      right[3] += w3 * offset;
      right[4] += w4 * offset;
    }
    if (used < 8 || !(sumW > 0)) return null;
    groups.forEach(mirrored);
    // The expected size and shape as further measurements: no change, with its sigma.
    const variance = Math.max(0.04, sumWr2 / sumW);
    const onScale = variance / (options.scaleSigma * options.scaleSigma);
    const onStretch = variance / (stretchSigma * stretchSigma);
    prior = [0, 0, onScale, onStretch, onStretch];
    const solution = solveTogether(groups, prior);
    if (!solution) return null;
    const before = shift;
    shift = {
      dxPx: solution[0],
      dyPx: solution[1],
      dScale: solution[2],
      stretch: [solution[3], solution[4]],
    };
    const next = Math.max(0.8, Math.min(kernelPx, 4 * Math.sqrt(sumWr2 / sumW)));
    const isSettled = next === gate || Math.abs(next - gate) < settledPx;
    gate = next;
    if (isSettled && furthestApart(before, shift, effects) < settledPx) break;
  }
  return {
    ...{ shift, sumW, sumWr2, used, contrast, chosen },
    covariance() {
      const all = jackknifeCovariance(groups, prior);
      return (
        all && {
          varXPx2: all[0],
          covXYPx2: all[1],
          varYPx2: all[unknowns + 1],
          varScale: all[2 * unknowns + 2],
        }
      );
    },
  };
}

/** What a rim's change is made of. */
type ShiftValues = Pick<RimShift, 'dxPx' | 'dyPx' | 'dScale' | 'stretch'>;

/** How far each of the unknowns moves the edge on a ray outward, `unknowns` values a ray. */
function effectsOf({ rays, nx, ny, xPx, yPx, centre }: RimEdges): Float64Array {
  const effects = new Float64Array(rays * unknowns);
  for (let i = 0; i < rays; i++) {
    const px = xPx[i] - centre.xPx;
    const py = yPx[i] - centre.yPx;
    const e = i * unknowns;
    effects[e] = nx[i];
    effects[e + 1] = ny[i];
    effects[e + 2] = nx[i] * px + ny[i] * py;
    effects[e + 3] = nx[i] * px - ny[i] * py;
    effects[e + 4] = nx[i] * py + ny[i] * px;
  }
  return effects;
}

/** Work space, for one fit after the other; never shared between workers. */
const groups: readonly NormalEquations[] = Array.from({ length: arcs }, () => ({
  matrix: new Float64Array(unknowns * unknowns),
  right: new Float64Array(unknowns),
}));

function mirrored({ matrix }: NormalEquations): void {
  for (let r = 1; r < unknowns; r++)
    for (let c = 0; c < r; c++) matrix[r * unknowns + c] = matrix[c * unknowns + r];
}

/** The most that an edge on any of a few rays moves between two fits. */
function furthestApart(one: ShiftValues, other: ShiftValues, effects: Float64Array): number {
  const d = [
    other.dxPx - one.dxPx,
    other.dyPx - one.dyPx,
    other.dScale - one.dScale,
    other.stretch[0] - one.stretch[0],
    other.stretch[1] - one.stretch[1],
  ];
  let most = 0;
  for (let e = 0; e < effects.length; e += 8 * unknowns) {
    let moved = 0;
    for (let k = 0; k < unknowns; k++) moved += effects[e + k] * d[k];
    most = Math.max(most, Math.abs(moved));
  }
  return most;
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
