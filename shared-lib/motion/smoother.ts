import type { Motion, PlaneTrace } from '../contract/motion.ts';
import { axisGains, type AxisGains, smoothAxis } from './axis-smoother.ts';
import { quinticWeights } from './hermite.ts';
import { noiseScale, type NoiseScale } from './noise-scale.ts';
import type { Random } from './random.ts';
import { median } from './statistics.ts';

/** The posterior at the clip's own frames; NaN where the bar was lost. */
export interface FrameStates {
  tS: Float64Array;
  xM: Float64Array;
  yM: Float64Array;
  /** Posterior one-sigma standard uncertainties. */
  sxM: Float64Array;
  syM: Float64Array;
  svyMps: Float64Array;
}

/** Typical posterior one-sigma of the smoothed height and of the vertical velocity. */
export interface RestNoise {
  syM: number;
  svMps: number;
}

export interface SmoothedTrace {
  /** Posterior mean. */
  motion: Motion;
  frame: FrameStates;
  restNoise: RestNoise;
  noiseScale: { x: NoiseScale; y: NoiseScale };
  /** One motion from the posterior, with its covariance in time. */
  draw(random: Random): Motion;
}

export interface SmoothOptions {
  /** The frequency at which the smoother's gain is 1/sqrt(2). */
  cutoffHz: number;
  /** Interval of the even time base; 1/240 s, or the frames' own where that is shorter. */
  dtS?: number;
}

/** Spans without any measurement that are longer than this cut the trace. */
const longestGapS = 0.5;
/** Residuals beyond this many sigmas count less, in proportion to the square. */
const gate = 4;
const fewestSamples = 4;
/**
 * For a long series of white noise of relative variance 1, the residual's variance is 1 - 2 H + (H H'),
 * and (H H') = 5/6 H, as the integrals of g^2 and g over x are 5 pi / 18 and pi / 3 for g = 1 / (1 + x^6).
 */
const leverage = 7 / 6;

/** f0 for a cut-off at which 1 / (1 + (f / f0)^6) is 1/sqrt(2). */
export const halfGainHz = (cutoffHz: number): number => cutoffHz / (Math.SQRT2 - 1) ** (1 / 6);

interface Axis {
  gains: AxisGains;
  /** Posterior mean, 3 per sample: m, and its derivatives times tau and tau squared. */
  mean: Float64Array;
}

/** A stretch of frames without a long gap. */
interface Segment {
  from: number;
  to: number;
  x: Axis;
  y: Axis;
}

/**
 * Smooths a trace by a state-space model of white-noise jerk, whose strength is set by an equivalent
 * cut-off: in the steady state it acts as a third-order Butterworth filter run forward and backward (which
 * has the gain 1 / (1 + (f / f0)^6)), on uneven times and with a variance for each sample.
 * Lost samples are missing measurements; spans lost for longer than 0.5 s are NaN.
 */
export function smoothTrace(trace: PlaneTrace, options: SmoothOptions): SmoothedTrace {
  const { tS } = trace;
  const intervals = Float64Array.from(tS.subarray(1), (t, i) => t - tS[i]).filter((d) => d > 0);
  const intervalS = median(intervals);
  const dtS = options.dtS ?? Math.min(1 / 240, intervalS || 1 / 240);
  const f0Hz = halfGainHz(options.cutoffHz);
  const tauS = 1 / (2 * Math.PI * f0Hz);
  const spans = spansOf(trace);
  const x = smoothSpans(trace, trace.xM, trace.sxM, spans, tauS, intervalS);
  const y = smoothSpans(trace, trace.yM, trace.syM, spans, tauS, intervalS);
  const segments = spans.map(([from, to], k): Segment => ({ from, to, x: x.axes[k], y: y.axes[k] }));

  const base = timeBase(tS, segments, dtS, tauS);
  const scale = { x: x.sigma * x.scale.inBand, y: y.sigma * y.scale.inBand };
  const frame = frameStates(tS, segments, scale, tauS);
  return {
    motion: onBase(
      base,
      segments.map((s) => ({ x: s.x.mean, y: s.y.mean })),
      tauS,
    ),
    frame,
    restNoise: { syM: median(frame.syM), svMps: median(frame.svyMps) },
    noiseScale: { x: x.scale, y: y.scale },
    draw: (random) =>
      onBase(
        base,
        segments.map((s) => ({
          x: drawAxis(s.x, scale.x, random),
          y: drawAxis(s.y, scale.y, random),
        })),
        tauS,
      ),
  };
}

/** Index ranges [from, to) without a gap in the measurements that is too long to bridge. */
function spansOf({ tS, state }: PlaneTrace): [number, number][] {
  const spans: [number, number][] = [];
  let from = -1;
  let last = -1;
  let count = 0;
  const close = (): void => {
    if (from >= 0 && count >= fewestSamples) spans.push([from, last + 1]);
  };
  for (let i = 0; i < tS.length; i++) {
    if (state[i] === 2) continue;
    if (from < 0 || tS[i] - tS[last] > longestGapS) {
      close();
      from = i;
      count = 0;
    }
    last = i;
    count++;
  }
  close();
  return spans;
}

/**
 * Measurement variances of [from, to), Infinity where lost. A run of n bridged samples shares one error, so
 * each of them gets n times its variance: together they say what one of them says.
 */
function variancesOf({ state }: PlaneTrace, sigmaM: Float64Array, from: number, to: number): Float64Array {
  const variances = new Float64Array(to - from);
  for (let i = from; i < to;) {
    let end = i + 1;
    while (end < to && state[end] === state[i]) end++;
    for (let k = i; k < end; k++) {
      const shared = state[i] === 1 ? end - i : 1;
      variances[k - from] = state[i] === 2 ? Infinity : shared * Math.max(sigmaM[k], 1e-7) ** 2;
    }
    i = end;
  }
  return variances;
}

/** Smooths one coordinate over all spans; `sigma` is the median measurement sigma in metres. */
function smoothSpans(
  trace: PlaneTrace,
  valuesM: Float64Array,
  sigmaM: Float64Array,
  spans: [number, number][],
  tauS: number,
  intervalS: number,
): { axes: Axis[]; sigma: number; scale: NoiseScale } {
  const stated = spans.map(([from, to]) => variancesOf(trace, sigmaM, from, to));
  const sigma2 = median(stated.flatMap((v) => [...v]));
  const relative = stated.map((v) => v.map((r) => r / sigma2));
  const f0Dt = intervalS / tauS / (2 * Math.PI);
  let variances = relative;
  for (let round = 0; ; round++) {
    const axes = spans.map(([from, to], k): Axis => {
      const steps = Float64Array.from(
        { length: to - from - 1 },
        (_, i) => (trace.tS[from + i + 1] - trace.tS[from + i]) / tauS,
      );
      const gains = axisGains(steps, variances[k], intervalS / tauS);
      return { gains, mean: smoothAxis(gains, valuesM.subarray(from, to)) };
    });
    const z = spans.map(([from, to], k) =>
      residuals(axes[k], valuesM.subarray(from, to), relative[k], Math.sqrt(sigma2)),
    );
    const scale = noiseScale(
      Float64Array.from(z.flatMap((r, k) => [...r].filter((_, i) => trace.state[spans[k][0] + i] === 0))),
      f0Dt,
    );
    const limit = gate * Math.max(scale.scatter, 0.05);
    if (round === 4 || !z.some((r) => r.some((e) => Math.abs(e) > limit))) {
      return { axes, sigma: Math.sqrt(sigma2), scale };
    }
    variances = relative.map((r, k) => r.map((v, i) => v * Math.max(1, (z[k][i] / limit) ** 2 || 1)));
  }
}

/** Residuals over the sigma that the stated variance leaves to them; NaN where nothing was measured. */
function residuals(
  { gains, mean }: Axis,
  y: Float64Array,
  stated: Float64Array,
  sigma: number,
): Float64Array {
  return Float64Array.from(y, (value, i) => {
    const r = gains.variances[i];
    if (r === Infinity) return NaN;
    const left = Math.max(0.05, 1 - (leverage * gains.posterior[3 * i]) / r);
    return (value - mean[3 * i]) / (sigma * Math.sqrt(stated[i] * left));
  });
}

/**
 * One path from the posterior: a motion drawn from the model, measured with drawn noise, less what the
 * smoother makes of it, has the posterior's covariance (Durbin & Koopman 2002, Biometrika 89:603-616).
 */
function drawAxis({ gains, mean }: Axis, sigma: number, random: Random): Float64Array {
  const { n, steps, variances, processRoots: l } = gains;
  const state = new Float64Array(3 * n);
  const y = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    if (i > 0) {
      const h = steps[i - 1];
      const at = 3 * i;
      const k = 6 * (i - 1);
      const [z0, z1, z2] = [random.normal(), random.normal(), random.normal()];
      state[at] = state[at - 3] + h * state[at - 2] + ((h * h) / 2) * state[at - 1] + l[k] * z0;
      state[at + 1] = state[at - 2] + h * state[at - 1] + l[k + 1] * z0 + l[k + 2] * z1;
      state[at + 2] = state[at - 1] + l[k + 3] * z0 + l[k + 4] * z1 + l[k + 5] * z2;
    }
    y[i] = variances[i] < Infinity ? state[3 * i] + Math.sqrt(variances[i]) * random.normal() : NaN;
  }
  const smoothed = smoothAxis(gains, y);
  for (let k = 0; k < smoothed.length; k++) smoothed[k] = mean[k] + sigma * (state[k] - smoothed[k]);
  return smoothed;
}

/** The even time base with, for each of its samples, the step it lies in and the weights of that step. */
interface TimeBase {
  t0S: number;
  dtS: number;
  n: number;
  /** Segment and sample within it; segment -1 outside all. */
  segment: Int32Array;
  sample: Int32Array;
  weights: Float64Array;
}

function timeBase(tS: Float64Array, segments: Segment[], dtS: number, tauS: number): TimeBase {
  const t0S = tS[0];
  const n = tS.length === 0 ? 0 : Math.floor((tS[tS.length - 1] - t0S) / dtS + 1e-9) + 1;
  const segment = new Int32Array(n).fill(-1);
  const sample = new Int32Array(n);
  const weights = new Float64Array(12 * n);
  segments.forEach(({ from, to }, k) => {
    const first = Math.max(0, Math.ceil((tS[from] - t0S) / dtS - 1e-9));
    let at = from;
    for (let i = first; i < n; i++) {
      const t = t0S + i * dtS;
      if (t > tS[to - 1] + 1e-9) break;
      while (at < to - 2 && tS[at + 1] <= t) at++;
      const h = tS[at + 1] - tS[at];
      segment[i] = k;
      sample[i] = at - from;
      quinticWeights(h > 0 ? (t - tS[at]) / h : 0, h / tauS, weights, 12 * i);
    }
  });
  return { t0S, dtS, n, segment, sample, weights };
}

function onBase(base: TimeBase, states: { x: Float64Array; y: Float64Array }[], tauS: number): Motion {
  const { t0S, dtS, n, segment, sample, weights: w } = base;
  const xM = new Float64Array(n).fill(NaN);
  const yM = new Float64Array(n).fill(NaN);
  const vxMps = new Float64Array(n).fill(NaN);
  const vyMps = new Float64Array(n).fill(NaN);
  for (let i = 0; i < n; i++) {
    if (segment[i] < 0) continue;
    const { x, y } = states[segment[i]];
    const at = 3 * sample[i];
    let px = 0;
    let py = 0;
    let vx = 0;
    let vy = 0;
    for (let k = 0; k < 6; k++) {
      px += w[12 * i + k] * x[at + k];
      py += w[12 * i + k] * y[at + k];
      vx += w[12 * i + 6 + k] * x[at + k];
      vy += w[12 * i + 6 + k] * y[at + k];
    }
    xM[i] = px;
    yM[i] = py;
    vxMps[i] = vx / tauS;
    vyMps[i] = vy / tauS;
  }
  return { t0S, dtS, xM, yM, vxMps, vyMps };
}

function frameStates(
  tS: Float64Array,
  segments: Segment[],
  scale: { x: number; y: number },
  tauS: number,
): FrameStates {
  const empty = (): Float64Array => new Float64Array(tS.length).fill(NaN);
  const frame: FrameStates = { tS, xM: empty(), yM: empty(), sxM: empty(), syM: empty(), svyMps: empty() };
  for (const { from, to, x, y } of segments) {
    for (let i = 0; i < to - from; i++) {
      frame.xM[from + i] = x.mean[3 * i];
      frame.yM[from + i] = y.mean[3 * i];
      frame.sxM[from + i] = scale.x * Math.sqrt(x.gains.posterior[3 * i]);
      frame.syM[from + i] = scale.y * Math.sqrt(y.gains.posterior[3 * i]);
      frame.svyMps[from + i] = (scale.y / tauS) * Math.sqrt(y.gains.posterior[3 * i + 1]);
    }
  }
  return frame;
}
