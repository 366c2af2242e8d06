import { filterForwardBackward } from './butterworth.ts';

/** The cut-off is looked for within these, Hz: slower than 4 Hz blunts a touch, faster than 10 Hz follows noise. */
const cutoffBounds = { leastHz: 4, mostHz: 10 } as const;
const stepHz = 0.25;
/** Bars' own motion lies well below this; what is left above it is taken for noise, Hz (common practice). */
const noiseFromHz = 9;
/** A signal this short says nothing, seconds. */
const shortestS = 1;

/**
 * Cut-off by residual analysis: the root mean square residual between a signal and its low-passed self falls
 * with the cut-off, and where only noise is left it falls along a straight line; that line carried down to
 * 0 Hz says how much of the residual is noise, and the cut-off is the one that leaves as much (Winter 2009,
 * Biomechanics and Motor Control of Human Movement, 4th ed., section on the choice of cut-off frequency;
 * section from memory).
 *
 * @param signal evenly sampled
 * @returns Hz, within `cutoffBounds`
 */
export function cutoffByResiduals(signal: Float64Array, sampleRateHz: number): number {
  const { leastHz, mostHz } = cutoffBounds;
  const highestHz = 0.45 * sampleRateHz;
  if (signal.length < shortestS * sampleRateHz || highestHz < leastHz + 1)
    return clamp(highestHz, leastHz, mostHz);
  const cutoffs: number[] = [];
  for (let f = 1; f <= Math.min(highestHz, 3 * mostHz); f += stepHz) cutoffs.push(f);
  const residuals = cutoffs.map((f) => rmsDifference(signal, filterForwardBackward(signal, sampleRateHz, f)));
  const from = cutoffs.findIndex((f) => f >= Math.min(noiseFromHz, 0.6 * highestHz));
  const noise = interceptOf(cutoffs.slice(from), residuals.slice(from));
  const at = residuals.findIndex((r) => r <= noise);
  return clamp(at < 0 ? mostHz : cutoffs[at], leastHz, mostHz);
}

function rmsDifference(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += (a[i] - b[i]) ** 2;
  return Math.sqrt(sum / a.length);
}

/** Where the least-squares line through (x, y) meets x = 0. */
function interceptOf(x: readonly number[], y: readonly number[]): number {
  const n = x.length;
  const mx = x.reduce((s, v) => s + v, 0) / n;
  const my = y.reduce((s, v) => s + v, 0) / n;
  const sxx = x.reduce((s, v) => s + (v - mx) ** 2, 0);
  const sxy = x.reduce((s, v, i) => s + (v - mx) * (y[i] - my), 0);
  return my - (sxy / sxx) * mx;
}

/** A signal on even times, by cubic interpolation between its own (Catmull-Rom tangents on uneven times). */
export function evenly(tS: Float64Array, y: Float64Array, rateHz: number): Float64Array {
  const n = tS.length;
  const slope = Float64Array.from(y, (_, i) => {
    const a = Math.max(0, i - 1);
    const b = Math.min(n - 1, i + 1);
    return (y[b] - y[a]) / (tS[b] - tS[a]);
  });
  let k = 0;
  return Float64Array.from({ length: n }, (_, i) => {
    const t = tS[0] + i / rateHz;
    while (k < n - 2 && tS[k + 1] < t) k++;
    const h = tS[k + 1] - tS[k];
    const u = Math.min(1, (t - tS[k]) / h);
    const u2 = u * u;
    const u3 = u2 * u;
    return (
      (2 * u3 - 3 * u2 + 1) * y[k] +
      (u3 - 2 * u2 + u) * h * slope[k] +
      (3 * u2 - 2 * u3) * y[k + 1] +
      (u3 - u2) * h * slope[k + 1]
    );
  });
}

const clamp = (value: number, least: number, most: number): number => Math.min(most, Math.max(least, value));
