import type { Motion, PlaneTrace } from '../contract/motion.ts';
import { barModel, jerkOf, unitS } from './bar-model.ts';
import { type Axis, drawAxis } from './draw.ts';
import type { Random } from './random.ts';
import { remeasure } from './remeasure.ts';
import { slowErrorSteps } from './slow-error.ts';
import { type AxisSmoothing, offsetIn, type Smoothing } from './smoothing.ts';
import { measuredOf, spansOf } from './spans.ts';
import { gainsOf, smoothValues, spreadOf } from './state-smoother.ts';
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
  /** One motion from the posterior, with its covariance in time. */
  draw(random: Random): Motion;
  /**
   * What the smoother makes of the posterior mean when it is measured again with fresh white noise and a slow error; lasts
   * until the next, of any trace.
   *
   * @param slowM one sigma of the slow error, metres
   */
  remeasure(slowM: number, random: Random): Motion;
}

export interface SmoothOptions {
  /** Cut-offs are this many times those of the smoothing; 1 where omitted. */
  cutoffFactor?: number;
  /** Interval of the even time base, seconds; 1/240 s, or the frames' own where that is shorter. */
  dtS?: number;
}

/**
 * Smooths a trace, or a stretch of it, by a state-space model of white-noise jerk with a slow error of the measurement,
 * forward and backward, on the frames' own times and with a variance for each sample (the posterior mean is a smoothing
 * spline; where strength and intervals are even and there is no slow error its gain is that of a third-order
 * Butterworth filter run both ways, 1 / (1 + (f / f0)^6)). What is bridged or lost is not measured; stretches without a
 * measurement for longer than a second are NaN.
 *
 * @param smoothing decided on this trace or on one that this is a stretch of
 * @throws RangeError where it was decided on another
 */
export function smoothTrace(
  trace: PlaneTrace,
  smoothing: Smoothing,
  options: SmoothOptions = {},
): SmoothedTrace {
  const { tS } = trace;
  const factor = options.cutoffFactor ?? 1;
  const dtS = options.dtS ?? Math.min(1 / 240, smoothing.intervalS || 1 / 240);
  const spans = spansOf(trace);
  const offset = offsetIn(smoothing, tS);
  const axesOf = (valuesM: Float64Array, axis: AxisSmoothing): Axis[] =>
    spans.map(([from, to]) => {
      const part = (all: Float64Array): Float64Array => all.subarray(offset + from, offset + to);
      const scaleM = axis.typicalM;
      const variances = measuredOf(trace.state.subarray(from, to), part(axis.noiseM), scaleM);
      const jerk = part(axis.f0Hz).map((f) => jerkOf(f * factor, smoothing.intervalS));
      const gains = gainsOf(barModel(tS.slice(from, to), smoothing.slowShare), variances, jerk);
      const { mean } = smoothValues(
        gains,
        valuesM.slice(from, to).map((v) => v / scaleM),
      );
      return { gains, mean: mean.map((v) => v * scaleM), posterior: spreadOf(gains).posterior, scaleM };
    });
  const x = axesOf(trace.xM, smoothing.x);
  const y = axesOf(trace.yM, smoothing.y);
  const base = timeBase(tS, spans, dtS);
  const motionOf = (valuesOf: (axis: Axis) => Float64Array): Motion =>
    onBase(
      base,
      spans.map((_, k) => ({ x: valuesOf(x[k]), y: valuesOf(y[k]) })),
    );
  const spanTimes = spans.map(([from, to]) => tS.subarray(from, to));
  const measuredBy = {
    base,
    spans: spanTimes.map((times, k) => ({
      x: x[k],
      y: y[k],
      slowSteps: slowErrorSteps(
        times,
        times.map((_, i) => Math.hypot(x[k].mean[4 * i + 1], y[k].mean[4 * i + 1]) / unitS),
      ),
    })),
  };
  const frame = frameStates(tS, spans, x, y);
  return {
    motion: motionOf(({ mean }) => mean),
    frame,
    restNoise: { syM: median(frame.syM), svMps: median(frame.svyMps) },
    draw: (random) => motionOf((axis) => drawAxis(axis, random)),
    remeasure: (slowM, random) => remeasure(measuredBy, slowM, random),
  };
}

function frameStates(tS: Float64Array, spans: [number, number][], x: Axis[], y: Axis[]): FrameStates {
  const empty = (): Float64Array => new Float64Array(tS.length).fill(NaN);
  const frame: FrameStates = { tS, xM: empty(), yM: empty(), sxM: empty(), syM: empty(), svyMps: empty() };
  spans.forEach(([from, to], k) => {
    for (let i = 0; i < to - from; i++) {
      frame.xM[from + i] = x[k].mean[4 * i];
      frame.yM[from + i] = y[k].mean[4 * i];
      frame.sxM[from + i] = x[k].scaleM * Math.sqrt(x[k].posterior[3 * i]);
      frame.syM[from + i] = y[k].scaleM * Math.sqrt(y[k].posterior[3 * i]);
      frame.svyMps[from + i] = (y[k].scaleM / unitS) * Math.sqrt(y[k].posterior[3 * i + 1]);
    }
  });
  return frame;
}
