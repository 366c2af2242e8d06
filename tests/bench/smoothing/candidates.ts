import type { Motion, PlaneTrace } from '../../../shared-lib/contract/motion.ts';
import { barModel, jerkOf } from '../../../shared-lib/motion/bar-model.ts';
import { smoothTrace } from '../../../shared-lib/motion/smoother.ts';
import { smoothingByEvidence } from '../../../shared-lib/motion/smoothing-by-evidence.ts';
import { evenSmoothing, type Smoothing } from '../../../shared-lib/motion/smoothing.ts';
import { gainsOf, smoothValues, spreadOf } from '../../../shared-lib/motion/state-smoother.ts';
import type { Noise } from '../../../shared-lib/rep/thresholds.ts';
import { filterForwardBackward } from './butterworth.ts';
import { cutoffByResiduals, evenly } from './residual-analysis.ts';

export interface Smoothed {
  motion: Motion;
  noise: Noise;
}
export type Candidate = (trace: PlaneTrace) => Smoothed;

const by =
  (choose: (trace: PlaneTrace) => Smoothing): Candidate =>
  (trace) => {
    const { motion, restNoise } = smoothTrace(trace, choose(trace));
    return { motion, noise: restNoise };
  };

/** Evenly resampled, filtered both ways at the residual analysis' cut-off, differentiated. */
const butterworth: Candidate = ({ tS, xM, yM }) => {
  const n = tS.length;
  const rateHz = (n - 1) / (tS[n - 1] - tS[0]);
  const even = evenly(tS, held(yM), rateHz);
  const cutoffHz = cutoffByResiduals(even, rateHz);
  const smooth = (values: Float64Array): Float64Array =>
    filterForwardBackward(evenly(tS, values, rateHz), rateHz, cutoffHz);
  const dtS = 1 / rateHz;
  const slope = (y: Float64Array): Float64Array =>
    y.map(
      (_, i) =>
        (y[Math.min(y.length - 1, i + 1)] - y[Math.max(0, i - 1)]) /
        (dtS * (i === 0 || i === y.length - 1 ? 1 : 2)),
    );
  const [x, y] = [smooth(held(xM)), smooth(held(yM))];
  const motion = { t0S: tS[0], dtS, xM: x, yM: y, vxMps: slope(x), vyMps: slope(y) };
  return { motion, noise: { syM: 0.0002, svMps: 0.003 } };
};

/** Lost samples filled with the last that was seen. */
function held(values: Float64Array): Float64Array {
  let last = values.find((v) => !Number.isNaN(v)) ?? 0;
  return values.map((v) => (last = Number.isNaN(v) ? last : v));
}

/**
 * The quintic smoothing spline whose strength minimises generalised cross-validation (Craven & Wahba 1979, Numer. Math.
 * 31:377-403): its posterior mean is that of white-noise jerk without a slow error (Wahba 1978, J R Stat Soc B 40:364-372).
 */
function splineSmoothing(trace: PlaneTrace): Smoothing {
  const { tS, yM, state } = trace;
  const { intervalS } = evenSmoothing(trace, 5, 0);
  const variances = Float64Array.from(state, (s) => (s === 0 ? 1 : Infinity));
  const model = barModel(tS, 0);
  let best = { f0Hz: 1, score: Infinity };
  for (let f0Hz = 1; f0Hz < 14; f0Hz *= 1.04) {
    const gains = gainsOf(model, variances, new Float64Array(tS.length).fill(jerkOf(f0Hz, intervalS)));
    const { error } = smoothValues(
      gains,
      yM.map((y) => y * 1e4),
    );
    const { errorVariance } = spreadOf(gains);
    let rss = 0;
    let left = 0;
    state.forEach((s, i) => {
      if (s !== 0) return;
      rss += error[i] ** 2;
      left += errorVariance[i];
    });
    const score = rss / left ** 2;
    if (score < best.score) best = { f0Hz, score };
  }
  return evenSmoothing(trace, best.f0Hz, 0);
}

export const candidates: Record<string, Candidate> = {
  'Butterworth, residual analysis': butterworth,
  'quintic spline, GCV': by(splineSmoothing),
  'Kalman, one strength': by((t) => smoothingByEvidence(t, { slowShare: 0, local: false })),
  'one strength, slow error': by((t) => smoothingByEvidence(t, { local: false })),
  'local strength': by((t) => smoothingByEvidence(t, { slowShare: 0 })),
  'local strength, slow error': by((t) => smoothingByEvidence(t)),
};
