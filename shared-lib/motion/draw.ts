import { states } from './bar-model.ts';
import type { Random } from './random.ts';
import { type Gains, smoothedMean } from './state-smoother.ts';

/** One coordinate over one span, smoothed. */
export interface Axis {
  gains: Gains;
  /** Posterior means, 4 per sample: metres, the derivatives times unitS and its square, the slow error. */
  mean: Float64Array;
  /** Posterior variances of the first three, relative, 3 per sample. */
  posterior: Float64Array;
  /** The unit of variances is this squared, metres. */
  scaleM: number;
}

/**
 * One path from the posterior, 4 per sample: a motion drawn from the model, measured with drawn noise, less what the
 * smoother makes of it, has the posterior's covariance in time (the mean-correction simulation smoother of Durbin &
 * Koopman 2002, Biometrika 89:603-616). The smoother reproduces any parabola, so the drawn motion may start from rest at
 * zero.
 */
export function drawAxis({ gains, mean, scaleM }: Axis, random: Random): Float64Array {
  const { n, slowShare, transition: f, slowNoise } = gains.model;
  const state = new Float64Array(states * n);
  const y = new Float64Array(n);
  state[3] = slowShare * random.normal();
  for (let i = 0; i < n; i++) {
    if (i > 0) {
      const at = states * i;
      const t = states * states * (i - 1);
      const h = f[t + 1];
      // The lower root of the jerk's noise over one step h: h^5 / 20, h^4 / 8, h^3 / 6; h^3 / 3, h^2 / 2; h.
      const z = Math.sqrt(gains.jerk[i - 1] * h);
      const [z0, z1, z2] = [z * random.normal(), z * random.normal(), z * random.normal()];
      const [p, v, a, e] = state.subarray(at - states, at);
      state[at] = p + h * v + ((h * h) / 2) * a + ((h * h) / Math.sqrt(20)) * z0;
      state[at + 1] = v + h * a + h * ((Math.sqrt(20) / 8) * z0 + z1 / Math.sqrt(48));
      state[at + 2] = a + (Math.sqrt(20) / 6) * z0 + (Math.sqrt(48) / 12) * z1 + z2 / 3;
      state[at + 3] = f[t + 15] * e + Math.sqrt(slowNoise[i - 1]) * random.normal();
    }
    if (gains.variances[i] < Infinity)
      y[i] = state[states * i] + state[states * i + 3] + Math.sqrt(gains.variances[i]) * random.normal();
  }
  const smoothed = smoothedMean(gains, y);
  for (let k = 0; k < smoothed.length; k++) smoothed[k] = mean[k] + scaleM * (state[k] - smoothed[k]);
  return smoothed;
}

/**
 * The smoothed axis measured and smoothed once more, 4 per sample: what the smoother would have made of it with fresh
 * noise, had it been the truth. How far that is from the mean tells how far the mean may be from the truth, the
 * smoother's own blunting of sharp corners included (the parametric bootstrap of Efron & Tibshirani 1993, chapter 6,
 * chapter from memory).
 *
 * @param slow the slow error of each sample in units of `slowM`, metres
 */
export function remeasureAxis(
  { gains, mean, scaleM }: Axis,
  slow: Float64Array,
  slowM: number,
  random: Random,
): Float64Array {
  const { variances } = gains;
  const y = new Float64Array(variances.length);
  for (let i = 0; i < y.length; i++) {
    y[i] =
      variances[i] < Infinity
        ? (mean[states * i] + slowM * slow[i]) / scaleM + Math.sqrt(variances[i]) * random.normal()
        : NaN;
  }
  const again = smoothedMean(gains, y);
  for (let k = 0; k < again.length; k++) again[k] *= scaleM;
  return again;
}
