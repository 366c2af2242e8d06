import type { CameraMotion } from '../contract/trace.ts';
import { biweight, ranked } from '../motion/statistics.ts';
import {
  applySimilarity,
  fitSimilarity,
  linearOf,
  type PointPairs,
  type SimilarityFit,
} from './similarity.ts';

/**
 * How many random samples of `sampleSize` points are needed to draw, with the given probability, at least
 * one without outliers: ln(1 - p) / ln(1 - (1 - e)^s), rounded up (Hartley & Zisserman, Multiple View
 * Geometry, section 4.7).
 */
export function drawsNeeded(probability: number, outlierShare: number, sampleSize: number): number {
  return Math.ceil(Math.log(1 - probability) / Math.log(1 - (1 - outlierShare) ** sampleSize));
}

export interface Consensus extends SimilarityFit {
  /** 1 where a pair agrees with the fit. */
  agrees: Uint8Array;
  agreeing: number;
}

export interface ConsensusOptions {
  /** The motion that is expected, tried before any draw. */
  expected?: CameraMotion;
  /** What is expected stands unless so many times as many pairs agree on another motion; 1 where absent. */
  rivalShare?: number;
  /** Displacement beyond an estimate's own noise that is still the same motion, px: parallax, lens, rows read one after the other. */
  slackPx: number;
  /** Two points nearer than this make no hypothesis, px. */
  minBaselinePx: number;
  /** Uniform on [0, 1). */
  random: () => number;
}

/** Enough draws for three points in five astray, missed once in ten thousand pictures. */
const draws = drawsNeeded(0.9999, 0.6, 2);

/** The median length of a two-dimensional Gaussian error is sqrt(2 ln 2) sigma. */
const medianToSigma = 1 / Math.sqrt(2 * Math.LN2);
const reweightings = 4;

/** Squared distance within which each pair agrees with a hypothesis: three sigma and the slack. */
function limitsOf({ weight }: PointPairs, slackPx: number): Float64Array {
  const limits = new Float64Array(weight.length);
  for (let i = 0; i < limits.length; i++) {
    const reach = slackPx + 3 / Math.sqrt(weight[i]);
    limits[i] = weight[i] > 0 ? reach * reach : 0;
  }
  return limits;
}

/** Marks the pairs that agree with a hypothesis. @returns how many */
function agreement(pairs: PointPairs, s: CameraMotion, limits: Float64Array, agrees: Uint8Array): number {
  let count = 0;
  const { c, n } = linearOf(s);
  for (let i = 0; i < agrees.length; i++) {
    const dx = c * pairs.fromX[i] - n * pairs.fromY[i] + s.txPx - pairs.toX[i];
    const dy = n * pairs.fromX[i] + c * pairs.fromY[i] + s.tyPx - pairs.toY[i];
    agrees[i] = dx * dx + dy * dy < limits[i] ? 1 : 0;
    count += agrees[i];
  }
  return count;
}

/** The similarity through two pairs; null when they lie too close together or tell of a collapse. */
function throughTwo(pairs: PointPairs, i: number, j: number, minBaselinePx: number): CameraMotion | null {
  const x = pairs.fromX[j] - pairs.fromX[i];
  const y = pairs.fromY[j] - pairs.fromY[i];
  const u = pairs.toX[j] - pairs.toX[i];
  const v = pairs.toY[j] - pairs.toY[i];
  const square = x * x + y * y;
  if (square < minBaselinePx * minBaselinePx) return null;
  const scale = Math.hypot(u, v) / Math.sqrt(square);
  if (scale < 0.5 || scale > 2) return null;
  const linear = { scale, rotationRad: Math.atan2(x * v - y * u, x * u + y * v), txPx: 0, tyPx: 0 };
  const [cx, cy] = applySimilarity(linear, pairs.fromX[i], pairs.fromY[i]);
  return { ...linear, txPx: pairs.toX[i] - cx, tyPx: pairs.toY[i] - cy };
}

/** Iteratively reweighted least squares from the agreeing pairs, Tukey's biweight on the residuals. */
function refine(pairs: PointPairs, start: Uint8Array, slackPx: number): SimilarityFit | null {
  const n = start.length;
  const { fromX, fromY, toX, toY } = pairs;
  const weighted = { ...pairs, weight: new Float64Array(n) };
  for (let i = 0; i < n; i++) weighted.weight[i] = pairs.weight[i] * start[i];
  let fit = fitSimilarity(weighted);
  const residual = new Float64Array(n);
  const kept = new Float64Array(n);
  for (let k = 0; k < reweightings && fit; k++) {
    const { txPx, tyPx } = fit.similarity;
    const { c, n: s } = linearOf(fit.similarity);
    let agreeing = 0;
    for (let i = 0; i < n; i++) {
      const x = c * fromX[i] - s * fromY[i] + txPx;
      const y = s * fromX[i] + c * fromY[i] + tyPx;
      residual[i] = Math.hypot(x - toX[i], y - toY[i]);
      if (start[i]) kept[agreeing++] = residual[i];
    }
    // The slack's fifth keeps the scale from collapsing when most residuals are equal.
    const sigma = Math.max(medianToSigma * ranked(kept, agreeing, agreeing >> 1), slackPx / 5);
    for (let i = 0; i < n; i++) {
      weighted.weight[i] = start[i] ? pairs.weight[i] * biweight(residual[i], sigma) : 0;
    }
    fit = fitSimilarity(weighted);
  }
  return fit;
}

/**
 * The similarity that most pairs agree on: RANSAC over pairs of points (Fischler & Bolles 1981), each
 * hypothesis counted, the best one refined. Null when fewer than three pairs agree on anything.
 */
export function findConsensus(pairs: PointPairs, options: ConsensusOptions): Consensus | null {
  const n = pairs.weight.length;
  const limits = limitsOf(pairs, options.slackPx);
  let best = new Uint8Array(n);
  let bestCount = 0;
  let trial = new Uint8Array(n);
  const consider = (s: CameraMotion, credit: number): void => {
    const count = credit * agreement(pairs, s, limits, trial);
    if (count <= bestCount) return;
    bestCount = count;
    [best, trial] = [trial, best];
  };
  if (options.expected) consider(options.expected, options.rivalShare ?? 1);
  for (let k = 0; k < draws && bestCount < n && n > 1; k++) {
    const i = Math.floor(options.random() * n);
    const j = (i + 1 + Math.floor(options.random() * (n - 1))) % n;
    const s = throughTwo(pairs, i, j, options.minBaselinePx);
    if (s) consider(s, 1);
  }
  if (bestCount < 3) return null;
  const fit = refine(pairs, best, options.slackPx);
  if (!fit) return null;
  const agreeing = agreement(pairs, fit.similarity, limits, best);
  return { ...fit, agrees: best, agreeing };
}
