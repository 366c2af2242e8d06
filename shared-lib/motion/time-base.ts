import type { Motion } from '../contract/motion.ts';
import { states as stride, unitS } from './bar-model.ts';
import { quinticWeights } from './hermite.ts';

/** The even time base with, for each of its samples, the step it lies in and the weights of that step. */
export interface TimeBase {
  t0S: number;
  dtS: number;
  n: number;
  /** Segment and sample within it; segment -1 outside all. */
  segment: Int32Array;
  sample: Int32Array;
  weights: Float64Array;
}

export function timeBase(tS: Float64Array, spans: [number, number][], dtS: number): TimeBase {
  const t0S = tS[0];
  const n = tS.length === 0 ? 0 : Math.floor((tS[tS.length - 1] - t0S) / dtS + 1e-9) + 1;
  const segment = new Int32Array(n).fill(-1);
  const sample = new Int32Array(n);
  const weights = new Float64Array(12 * n);
  spans.forEach(([from, to], k) => {
    const first = Math.max(0, Math.ceil((tS[from] - t0S) / dtS - 1e-9));
    let at = from;
    for (let i = first; i < n; i++) {
      const t = t0S + i * dtS;
      if (t > tS[to - 1] + 1e-9) break;
      while (at < to - 2 && tS[at + 1] <= t) at++;
      const h = tS[at + 1] - tS[at];
      segment[i] = k;
      sample[i] = at - from;
      quinticWeights(h > 0 ? (t - tS[at]) / h : 0, h / unitS, weights, 12 * i);
    }
  });
  return { t0S, dtS, n, segment, sample, weights };
}

/** The motion on the base from the smoothed states of each span, 4 per sample. */
export function onBase(base: TimeBase, states: readonly { x: Float64Array; y: Float64Array }[]): Motion {
  const { t0S, dtS, n, segment, sample, weights: w } = base;
  const xM = new Float64Array(n).fill(NaN);
  const yM = new Float64Array(n).fill(NaN);
  const vxMps = new Float64Array(n).fill(NaN);
  const vyMps = new Float64Array(n).fill(NaN);
  for (let i = 0; i < n; i++) {
    if (segment[i] < 0) continue;
    const { x, y } = states[segment[i]];
    const at = stride * sample[i];
    let px = 0;
    let py = 0;
    let vx = 0;
    let vy = 0;
    for (let k = 0; k < 6; k++) {
      const from = k < 3 ? at + k : at + stride + k - 3;
      px += w[12 * i + k] * x[from];
      py += w[12 * i + k] * y[from];
      vx += w[12 * i + 6 + k] * x[from];
      vy += w[12 * i + 6 + k] * y[from];
    }
    xM[i] = px;
    yM[i] = py;
    vxMps[i] = vx / unitS;
    vyMps[i] = vy / unitS;
  }
  return { t0S, dtS, xM, yM, vxMps, vyMps };
}
