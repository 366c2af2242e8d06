import type { Axis } from './axis-fit.ts';
import { smoothAxis } from './axis-smoother.ts';
import type { Random } from './random.ts';

/**
 * One path from the posterior, 3 per sample: a motion drawn from the model, measured with drawn noise, less
 * what the smoother makes of it, has the posterior's covariance in time (the mean-correction simulation
 * smoother of Durbin & Koopman 2002, Biometrika 89:603-616). The smoother reproduces any parabola, so the
 * drawn motion may start from rest at zero.
 */
export function drawAxis({ gains, mean }: Axis, noiseM: number, random: Random): Float64Array {
  const { n, steps, variances, processRoots: l } = gains;
  const state = new Float64Array(3 * n);
  const y = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    if (i > 0) {
      const h = steps[i - 1];
      const at = 3 * i;
      const k = 6 * (i - 1);
      const z0 = random.normal();
      const z1 = random.normal();
      const z2 = random.normal();
      state[at] = state[at - 3] + h * state[at - 2] + ((h * h) / 2) * state[at - 1] + l[k] * z0;
      state[at + 1] = state[at - 2] + h * state[at - 1] + l[k + 1] * z0 + l[k + 2] * z1;
      state[at + 2] = state[at - 1] + l[k + 3] * z0 + l[k + 4] * z1 + l[k + 5] * z2;
    }
    if (variances[i] < Infinity) y[i] = state[3 * i] + Math.sqrt(variances[i]) * random.normal();
  }
  const smoothed = smoothAxis(gains, y);
  for (let k = 0; k < smoothed.length; k++) smoothed[k] = mean[k] + noiseM * (state[k] - smoothed[k]);
  return smoothed;
}

/**
 * The smoothed axis measured and smoothed once more, 3 per sample: what the smoother would have made of it with fresh
 * noise, had it been the truth. How far that is from the mean tells how far the mean may be from the truth, the
 * smoother's own blunting of sharp corners included (the parametric bootstrap of Efron & Tibshirani 1993, chapter 6,
 * chapter from memory).
 */
export function remeasureAxis({ gains, mean }: Axis, noiseM: number, random: Random): Float64Array {
  const y = Float64Array.from(gains.variances, (variance, i) =>
    variance < Infinity ? mean[3 * i] + noiseM * Math.sqrt(variance) * random.normal() : NaN,
  );
  return smoothAxis(gains, y);
}
