import { median } from 'd3-array';
import { Matrix, solve } from 'ml-matrix';
import type { Truth } from '../../demo-data/truth/schema.ts';
import type { FollowedClip } from '../../electron/desk/calibrated-clip.ts';

/** What a trace is off by, part by part. Pixels are those of the disc's own scale. */
export interface ErrorParts {
  /** New in each frame, one sigma. */
  whiteXPx: number;
  whiteYPx: number;
  /** Going slowly, one sigma: what is left beside scale, lean and delay. */
  slowXPx: number;
  slowYPx: number;
  /** Median stated sigma. */
  statedXPx: number;
  statedYPx: number;
  /** How fast the slow part goes: its correlation over a time t is (1 + rate t) exp(-rate t). */
  ratePerS: number;
  /** Height read too large, and the stated sigma of the scale. */
  scalePct: number;
  statedScalePct: number;
  /** Forward per height. */
  leanDeg: number;
  /** Positions read late. */
  delayMs: number;
}

/** Correlations are fitted up to this far apart, seconds. */
const longestLagS = 0.4;
/** The reps with this much before and after them, seconds. */
const marginS = 0.6;

/** @throws Error where fewer than 30 frames of the reps were seen */
export function errorParts({ plane, calibration }: FollowedClip, truth: Truth): ErrorParts {
  const { frames, reps } = truth;
  const fromS = reps[0].start_s - marginS;
  const last = reps[reps.length - 1];
  const toS = (last.lockout_s ?? frames[frames.length - 1].t_s) + marginS;
  const seen = frames.flatMap((_, i) =>
    plane.state[i] === 0 && plane.tS[i] >= fromS && plane.tS[i] <= toS ? [i] : [],
  );
  if (seen.length < 30) throw new Error(`Only ${seen.length} frames of the reps were seen.`);
  const speed = (i: number): number => {
    const a = frames[Math.max(0, i - 1)];
    const b = frames[Math.min(frames.length - 1, i + 1)];
    return (b.y_m - a.y_m) / (b.t_s - a.t_s);
  };
  const explained = seen.map((i) => [1, frames[i].y_m, speed(i)]);
  const x = regressed(
    explained,
    seen.map((i) => plane.xM[i] - frames[i].x_m),
  );
  const y = regressed(
    explained,
    seen.map((i) => plane.yM[i] - frames[i].y_m),
  );
  const lagS = median(seen.slice(1).map((i, k) => plane.tS[i] - plane.tS[seen[k]]))!;
  const rateXY = slowRate([x.left, y.left], lagS);
  const slowX = slowPart(x.left, lagS, rateXY);
  const slowY = slowPart(y.left, lagS, rateXY);
  const px = truth.disc.metres_per_px;
  const stated = (sigma: Float64Array): number => median(seen.map((i) => sigma[i]))! / px;
  return {
    whiteXPx: slowX.white / px,
    whiteYPx: slowY.white / px,
    slowXPx: slowX.slow / px,
    slowYPx: slowY.slow / px,
    statedXPx: stated(plane.sxM),
    statedYPx: stated(plane.syM),
    ratePerS: rateXY,
    scalePct: 100 * y.coefficients[1],
    statedScalePct: 100 * calibration.rimScaleSigma,
    leanDeg: (x.coefficients[1] * 180) / Math.PI,
    // A position that lags by t lies t v behind.
    delayMs: -1000 * y.coefficients[2],
  };
}

function regressed(rows: number[][], values: number[]): { coefficients: number[]; left: number[] } {
  const coefficients = solve(new Matrix(rows), Matrix.columnVector(values), true).to1DArray();
  const left = values.map((v, i) => v - rows[i].reduce((sum, r, k) => sum + r * coefficients[k], 0));
  return { coefficients, left };
}

const correlationAt = (series: readonly number[], lag: number): number => {
  let sum = 0;
  for (let i = lag; i < series.length; i++) sum += series[i] * series[i - lag];
  return sum / (series.length - lag);
};

const slowShape = (rate: number, tS: number): number => (1 + rate * tS) * Math.exp(-rate * tS);

const lagsWithin = (lagS: number): number[] =>
  Array.from({ length: Math.max(3, Math.floor(longestLagS / lagS)) }, (_, k) => k + 1);

/** Variance of the slow part that fits the correlations at lags of one frame and more, and what is left of them. */
function fitSlow(
  series: readonly number[],
  lagS: number,
  rate: number,
): { variance: number; misfit: number } {
  const lags = lagsWithin(lagS).filter((lag) => lag < series.length);
  const seen = lags.map((lag) => correlationAt(series, lag));
  const shape = lags.map((lag) => slowShape(rate, lag * lagS));
  const dot = (a: number[], b: number[]): number => a.reduce((sum, v, i) => sum + v * b[i], 0);
  const variance = Math.max(0, dot(seen, shape) / dot(shape, shape));
  const misfit = dot(seen, seen) - variance * (2 * dot(seen, shape) - variance * dot(shape, shape));
  return { variance, misfit };
}

/** The rate that fits the slow parts of both coordinates best, 1/s. */
function slowRate(series: readonly number[][], lagS: number): number {
  const rates = Array.from({ length: 30 }, (_, k) => 2 * 1.12 ** k);
  const misfit = (rate: number): number =>
    series.reduce((sum, s) => sum + fitSlow(s, lagS, rate).misfit / correlationAt(s, 0) ** 2, 0);
  return rates.reduce((best, rate) => (misfit(rate) < misfit(best) ? rate : best));
}

function slowPart(series: readonly number[], lagS: number, rate: number): { white: number; slow: number } {
  const { variance } = fitSlow(series, lagS, rate);
  return { white: Math.sqrt(Math.max(0, correlationAt(series, 0) - variance)), slow: Math.sqrt(variance) };
}
