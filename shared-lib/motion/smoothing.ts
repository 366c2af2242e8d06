import type { PlaneTrace } from '../contract/motion.ts';
import { slowError } from './bar-model.ts';
import { median } from './statistics.ts';

/** How one coordinate is smoothed: plain values in SI, one per frame of the trace that they were decided on. */
export interface AxisSmoothing {
  /** White noise of each sample, one sigma, metres: stated, scaled to what the clip shows, outliers raised. */
  noiseM: Float64Array;
  /** The typical one of these, metres. */
  typicalM: number;
  /** Strength from each sample to the next: where the gain would be one half but for the slow error, Hz. */
  f0Hz: Float64Array;
}

/** How a trace is smoothed. It serves every stretch of the trace that it was decided on. */
export interface Smoothing {
  tS: Float64Array;
  /** Median interval between frames, seconds. */
  intervalS: number;
  /** One sigma of the slow error against the white noise's. */
  slowShare: number;
  x: AxisSmoothing;
  y: AxisSmoothing;
  /** The equivalent cut-off (gain 1/sqrt(2)) of the height while the bar moves, for reports, Hz. */
  cutoffHz: number;
}

/**
 * The smoother's gain at a frequency, far from the ends: the bar's density over the sum of its own, the white noise's and
 * the slow error's, which is that of a first-order autoregression in continuous time.
 */
export function gainAt(fHz: number, f0Hz: number, intervalS: number, slowShare: number): number {
  const memory = 2 * Math.PI * fHz * slowError.memoryS;
  const slow = (slowShare ** 2 * 2 * slowError.memoryS) / (1 + memory * memory) / intervalS;
  return 1 / (1 + (fHz / f0Hz) ** 6 * (1 + slow));
}

/** The frequency at which the gain is 1/sqrt(2), Hz. */
export function cutoffOf(f0Hz: number, intervalS: number, slowShare: number): number {
  let low = 0;
  let high = 2 * f0Hz;
  for (let k = 0; k < 40; k++) {
    const middle = (low + high) / 2;
    if (gainAt(middle, f0Hz, intervalS, slowShare) > Math.SQRT1_2) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** Median of the intervals that are not zero; NaN for fewer than two moments. */
export const medianInterval = (tS: Float64Array): number =>
  median(Float64Array.from(tS.subarray(1), (t, i) => t - tS[i]).filter((d) => d > 0));

/** The same strength everywhere, the noise as stated. */
export function evenSmoothing(
  trace: PlaneTrace,
  f0Hz: number,
  slowShare: number = slowError.share,
): Smoothing {
  const axis = (sigmaM: Float64Array): AxisSmoothing => ({
    noiseM: sigmaM.slice(),
    typicalM: median(sigmaM.filter((_, i) => trace.state[i] === 0)),
    f0Hz: new Float64Array(trace.tS.length).fill(f0Hz),
  });
  const { tS } = trace;
  const intervalS = medianInterval(tS);
  const cutoffHz = cutoffOf(f0Hz, intervalS, slowShare);
  return { tS, intervalS, slowShare, x: axis(trace.sxM), y: axis(trace.syM), cutoffHz };
}

/** Where samples `tS`, a stretch of those that `smoothing` was decided on, begin in it. */
export function offsetIn(smoothing: Smoothing, tS: Float64Array): number {
  const at = smoothing.tS.indexOf(tS[0]);
  if (at < 0 && tS.length > 0)
    throw new RangeError('A smoothing serves only the trace that it was decided on.');
  return at;
}
