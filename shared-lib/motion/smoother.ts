import type { Motion, PlaneTrace } from '../contract/motion.ts';
import { type AxisFit, fitAxis } from './axis-fit.ts';
import { drawAxis, remeasureAxis } from './draw.ts';
import type { NoiseScale } from './noise-scale.ts';
import type { Random } from './random.ts';
import { spansOf } from './spans.ts';
import { median } from './statistics.ts';
import { onBase, timeBase } from './time-base.ts';

/** The smoothed trace at the clip's own frames; NaN where the bar was lost. */
export interface FrameStates {
  tS: Float64Array;
  xM: Float64Array;
  yM: Float64Array;
  /** One-sigma standard uncertainties. */
  sxM: Float64Array;
  syM: Float64Array;
  svyMps: Float64Array;
}

export interface SmoothedTrace {
  /** Posterior mean. */
  motion: Motion;
  frame: FrameStates;
  /** Typical one-sigma of the smoothed height and of the vertical velocity. */
  restNoise: { syM: number; svMps: number };
  /** How far the stated sigmas are from what the clip shows, as factors. */
  noiseScale: { x: NoiseScale; y: NoiseScale };
  /** One motion from the posterior, with its covariance in time. */
  draw(random: Random): Motion;
  /** What the smoother makes of the posterior mean when it is measured again with fresh noise. */
  remeasure(random: Random): Motion;
}

export interface SmoothOptions {
  /** The frequency at which the smoother's gain is 1/sqrt(2). */
  cutoffHz: number;
  /** Interval of the even time base; 1/240 s, or the frames' own where that is shorter. */
  dtS?: number;
}

/** f0 for a cut-off at which 1 / (1 + (f / f0)^6) is 1/sqrt(2). */
export const halfGainHz = (cutoffHz: number): number => cutoffHz / (Math.SQRT2 - 1) ** (1 / 6);

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
  const x = fitAxis(trace, trace.xM, trace.sxM, spans, tauS, intervalS);
  const y = fitAxis(trace, trace.yM, trace.syM, spans, tauS, intervalS);

  const base = timeBase(tS, spans, dtS, tauS);
  const frame = frameStates(tS, spans, tauS, x, y);
  const again = (axisOf: typeof drawAxis, random: Random): Motion =>
    onBase(
      base,
      spans.map((_, k) => ({
        x: axisOf(x.axes[k], x.noiseM, random),
        y: axisOf(y.axes[k], y.noiseM, random),
      })),
      tauS,
    );
  return {
    motion: onBase(
      base,
      spans.map((_, k) => ({ x: x.axes[k].mean, y: y.axes[k].mean })),
      tauS,
    ),
    frame,
    restNoise: { syM: median(frame.syM), svMps: median(frame.svyMps) },
    noiseScale: { x: x.scale, y: y.scale },
    draw: (random) => again(drawAxis, random),
    remeasure: (random) => again(remeasureAxis, random),
  };
}

function frameStates(
  tS: Float64Array,
  spans: [number, number][],
  tauS: number,
  x: AxisFit,
  y: AxisFit,
): FrameStates {
  const empty = (): Float64Array => new Float64Array(tS.length).fill(NaN);
  const frame: FrameStates = { tS, xM: empty(), yM: empty(), sxM: empty(), syM: empty(), svyMps: empty() };
  spans.forEach(([from, to], k) => {
    for (let i = 0; i < to - from; i++) {
      frame.xM[from + i] = x.axes[k].mean[3 * i];
      frame.yM[from + i] = y.axes[k].mean[3 * i];
      const py = y.axes[k].gains.posterior;
      frame.sxM[from + i] = x.noiseM * Math.sqrt(x.axes[k].gains.posterior[3 * i]);
      frame.syM[from + i] = y.noiseM * Math.sqrt(py[3 * i]);
      frame.svyMps[from + i] = (y.noiseM / tauS) * Math.sqrt(py[3 * i + 1]);
    }
  });
  return frame;
}
