import { type BarModel, states as m } from './bar-model.ts';

const mm = m * m;

/**
 * A fixed-interval smoother: Kalman filter forward, then the smoothed disturbances backward (de Jong 1989, J Am Stat
 * Assoc 84:1085-1088; Durbin & Koopman, Time Series Analysis by State Space Methods, 2nd ed. 2012, sections 4.4 and 4.5,
 * sections from memory). What depends on times and variances alone is kept here and serves every set of values.
 */
export interface Gains {
  model: BarModel;
  /** Relative measurement variances; Infinity where nothing was measured. */
  variances: Float64Array;
  /** Jerk's power density from each sample to the next. */
  jerk: Float64Array;
  /** Covariance before each sample's measurement, 16 per sample. */
  predicted: Float64Array;
  /** Its product with the measurement's row, over the innovation's variance, 4 per sample. */
  gain: Float64Array;
  /** Variance of the innovation. */
  innovation: Float64Array;
}

/**
 * Prior variances of the position about the first sample, velocity and acceleration, dimensionless: so wide that they
 * pull by less than a thousandth of the posterior's sigma, and no wider, since digits are lost to cancellation.
 */
const diffuse = 1e5;

/** What is kept of measurements of these variances. */
export const gainsOf = (model: BarModel, variances: Float64Array, jerk: Float64Array): Gains =>
  fits(compiled, model) ? compiled.gains(model, variances, jerk) : gainsPlainly(model, variances, jerk);

function gainsPlainly(model: BarModel, variances: Float64Array, jerk: Float64Array): Gains {
  const { n, transition, jerkNoise, slowNoise } = model;
  const predicted = new Float64Array(mm * n);
  const gain = new Float64Array(m * n);
  const innovation = new Float64Array(n);
  const updated = new Float64Array(mm);
  const moved = new Float64Array(mm);
  predicted[0] = predicted[m + 1] = predicted[2 * m + 2] = diffuse;
  predicted[mm - 1] = model.slowShare ** 2;
  for (let i = 0; i < n; i++) {
    const p = mm * i;
    const k = m * i;
    // Measured is the position and the slow error: states 0 and 3.
    const c0 = predicted[p] + predicted[p + 3];
    const c1 = predicted[p + m] + predicted[p + m + 3];
    const c2 = predicted[p + 2 * m] + predicted[p + 2 * m + 3];
    const c3 = predicted[p + 3 * m] + predicted[p + 3 * m + 3];
    const s = c0 + c3 + variances[i];
    innovation[i] = s;
    if (s < Infinity) {
      gain[k] = c0 / s;
      gain[k + 1] = c1 / s;
      gain[k + 2] = c2 / s;
      gain[k + 3] = c3 / s;
    }
    if (i + 1 === n) break;
    for (let r = 0; r < m; r++) {
      updated[m * r] = predicted[p + m * r] - gain[k + r] * c0;
      updated[m * r + 1] = predicted[p + m * r + 1] - gain[k + r] * c1;
      updated[m * r + 2] = predicted[p + m * r + 2] - gain[k + r] * c2;
      updated[m * r + 3] = predicted[p + m * r + 3] - gain[k + r] * c3;
    }
    if (s === Infinity) updated.set(predicted.subarray(p, p + mm));
    product(transition, p, updated, 0, moved, 0);
    productTransposed(moved, 0, transition, p, predicted, p + mm);
    for (let c = 0; c < mm; c++) predicted[p + mm + c] += jerk[i] * jerkNoise[p + c];
    predicted[p + mm + mm - 1] += slowNoise[i];
  }
  return { model, variances, jerk, predicted, gain, innovation };
}

export interface SmoothedValues {
  /** Posterior means, 4 per sample. */
  mean: Float64Array;
  /** Smoothed measurement errors over their variances. */
  error: Float64Array;
  /** Energy of the smoothed jerk from each sample to the next, relative to its power: e in the evidence. */
  jerkEnergy: Float64Array;
}

/** Posterior means given `y` and what they say of the model; entries without a measurement are ignored. */
export function smoothValues(gains: Gains, y: Float64Array): SmoothedValues {
  const { n } = gains.model;
  const error = new Float64Array(n);
  const jerkEnergy = new Float64Array(n);
  return { mean: smoothedMean(gains, y, { error, jerkEnergy }), error, jerkEnergy };
}

/** Posterior means given `y`, 4 per sample. @param say where the rest goes, if it is wanted */
export const smoothedMean = (
  gains: Gains,
  y: Float64Array,
  say?: Pick<SmoothedValues, 'error' | 'jerkEnergy'>,
): Float64Array => (fits(compiled, gains.model) ? compiled.mean(gains, y, say) : meanPlainly(gains, y, say));

/** Where the first sample is taken to be. */
const firstOf = ({ variances }: Gains, y: Float64Array): number =>
  y.find((_, i) => variances[i] < Infinity) ?? 0;

function meanPlainly(
  gains: Gains,
  y: Float64Array,
  say?: Pick<SmoothedValues, 'error' | 'jerkEnergy'>,
): Float64Array {
  const { model, variances, jerk, predicted, gain, innovation } = gains;
  const { n, transition: f, jerkNoise } = model;
  const mean = new Float64Array(m * n);
  const surprise = new Float64Array(n);
  mean[0] = firstOf(gains, y);
  for (let i = 0; i < n; i++) {
    const k = m * i;
    if (variances[i] < Infinity) surprise[i] = y[i] - mean[k] - mean[k + 3];
    if (i + 1 === n) break;
    const a0 = mean[k] + gain[k] * surprise[i];
    const a1 = mean[k + 1] + gain[k + 1] * surprise[i];
    const a2 = mean[k + 2] + gain[k + 2] * surprise[i];
    const a3 = mean[k + 3] + gain[k + 3] * surprise[i];
    const t = mm * i;
    mean[k + 4] = a0 + f[t + 1] * a1 + f[t + 2] * a2;
    mean[k + 5] = a1 + f[t + 6] * a2;
    mean[k + 6] = a2;
    mean[k + 7] = f[t + 15] * a3;
  }
  const r = new Float64Array(m);
  for (let i = n - 1; i >= 0; i--) {
    const k = m * i;
    const t = mm * i;
    if (i + 1 < n) {
      if (say) say.jerkEnergy[i] = jerk[i] * quadratic(r, jerkNoise, t);
      r[2] += f[t + 2] * r[0] + f[t + 6] * r[1];
      r[1] += f[t + 1] * r[0];
      r[3] *= f[t + 15];
    }
    if (variances[i] < Infinity) {
      const back = gain[k] * r[0] + gain[k + 1] * r[1] + gain[k + 2] * r[2] + gain[k + 3] * r[3];
      const error = surprise[i] / innovation[i] - back;
      if (say) say.error[i] = error;
      r[0] += error;
      r[3] += error;
    }
    for (let c = 0; c < m; c++) {
      const p = t + m * c;
      mean[k + c] +=
        predicted[p] * r[0] + predicted[p + 1] * r[1] + predicted[p + 2] * r[2] + predicted[p + 3] * r[3];
    }
  }
  return mean;
}

export interface Spread {
  /** Posterior variances of position, velocity and acceleration, 3 per sample. */
  posterior: Float64Array;
  /** Variance of `error`: one over that of a measurement about what all others say of it. */
  errorVariance: Float64Array;
  /** How many figures of the jerk from each sample to the next the measurements decide: its energy's expectation. */
  jerkFreedom: Float64Array;
}

/** What a set of measurements can tell, whatever their values. */
export const spreadOf = (gains: Gains): Spread =>
  fits(compiled, gains.model) ? compiled.spread(gains) : spreadPlainly(gains);

function spreadPlainly({ model, variances, jerk, predicted, gain, innovation }: Gains): Spread {
  const { n, transition, jerkNoise } = model;
  const posterior = new Float64Array(3 * n);
  const errorVariance = new Float64Array(n);
  const jerkFreedom = new Float64Array(n);
  const info = new Float64Array(mm);
  const moved = new Float64Array(mm);
  const taken = new Float64Array(m);
  for (let i = n - 1; i >= 0; i--) {
    const k = m * i;
    const p = mm * i;
    if (i + 1 < n) {
      for (let c = 0; c < mm; c++) jerkFreedom[i] += jerk[i] * jerkNoise[p + c] * info[c];
      product(info, 0, transition, p, moved, 0);
      transposedProduct(transition, p, moved, 0, info, 0);
    }
    if (variances[i] < Infinity) {
      let back = 0;
      for (let r = 0; r < m; r++) {
        taken[r] = 0;
        for (let c = 0; c < m; c++) taken[r] += info[m * r + c] * gain[k + c];
      }
      for (let r = 0; r < m; r++) back += gain[k + r] * taken[r];
      errorVariance[i] = 1 / innovation[i] + back;
      for (const c of [0, 3]) {
        for (let r = 0; r < m; r++) {
          info[m * c + r] -= taken[r];
          info[m * r + c] -= taken[r];
        }
      }
      for (const c of [0, 3, 12, 15]) info[c] += errorVariance[i];
    }
    for (let c = 0; c < 3; c++) {
      const column = predicted.subarray(p + m * c, p + m * c + m);
      posterior[3 * i + c] = Math.max(0, column[c] - quadratic(column, info, 0));
    }
  }
  return { posterior, errorVariance, jerkFreedom };
}

/** a b, a b' and a' b for 4 x 4 matrices row by row, each from its own offset. */
function product(a: Float64Array, ao: number, b: Float64Array, bo: number, out: Float64Array, oo: number) {
  for (let r = 0; r < mm; r += m) {
    for (let c = 0; c < m; c++) {
      out[oo + r + c] =
        a[ao + r] * b[bo + c] +
        a[ao + r + 1] * b[bo + m + c] +
        a[ao + r + 2] * b[bo + 2 * m + c] +
        a[ao + r + 3] * b[bo + 3 * m + c];
    }
  }
}
function productTransposed(
  a: Float64Array,
  ao: number,
  b: Float64Array,
  bo: number,
  out: Float64Array,
  oo: number,
) {
  for (let r = 0; r < m; r++) {
    for (let c = 0; c < m; c++) {
      let sum = 0;
      for (let j = 0; j < m; j++) sum += a[ao + m * r + j] * b[bo + m * c + j];
      out[oo + m * r + c] = sum;
    }
  }
}
function transposedProduct(
  a: Float64Array,
  ao: number,
  b: Float64Array,
  bo: number,
  out: Float64Array,
  oo: number,
) {
  for (let r = 0; r < m; r++) {
    for (let c = 0; c < m; c++) {
      let sum = 0;
      for (let j = 0; j < m; j++) sum += a[ao + m * j + r] * b[bo + m * j + c];
      out[oo + m * r + c] = sum;
    }
  }
}

/** v' a v for a 4 x 4 matrix from an offset. */
function quadratic(v: Float64Array, a: Float64Array, ao: number): number {
  let sum = 0;
  for (let r = 0; r < m; r++) {
    for (let c = 0; c < m; c++) sum += v[r] * a[ao + m * r + c] * v[c];
  }
  return sum;
}

/** What kernels/smoother.ts exports, as WebAssembly sees it. */
interface SmootherExports {
  memory: { buffer: ArrayBuffer };
  smootherMost(): number;
  smootherFiguresAt(): number;
  smootherValuesAt(): number;
  smootherGains(n: number, diffuse: number, slowVariance: number): void;
  smootherMean(n: number, first: number): void;
  smootherSpread(n: number): void;
}

interface Compiled {
  most: number;
  gains: typeof gainsPlainly;
  mean: typeof meanPlainly;
  spread: typeof spreadPlainly;
}

let compiled: Compiled | null = null;

/** Has compiled code smooth from now on, with the same result to the bit; the plain code again with null. */
export function useSmootherKernel(exports: unknown): void {
  compiled = exports ? compiledBy(exports as SmootherExports) : null;
}

const fits = (code: Compiled | null, { n }: BarModel): code is Compiled =>
  code !== null && n > 0 && n <= code.most;

function compiledBy(wasm: SmootherExports): Compiled {
  const { buffer } = wasm.memory;
  const most = wasm.smootherMost();
  /** Arrays one after the other in the compiled code's memory, of so many figures a sample. */
  const rooms = (at: number, figures: readonly number[]): Float64Array[] => {
    let from = at;
    return figures.map((each) => {
      const room = new Float64Array(buffer, from, each * most);
      from += room.byteLength;
      return room;
    });
  };
  const [transition, jerkNoise, slowNoise, variances, jerk, predicted, gain, innovation] = rooms(
    wasm.smootherFiguresAt(),
    [mm, mm, 1, 1, 1, mm, m, 1],
  );
  const [values, mean, error, jerkEnergy, posterior, errorVariance, jerkFreedom] = rooms(
    wasm.smootherValuesAt(),
    [1, m, 1, 1, 3, 1, 1],
  );
  /** Whose figures lie there. */
  let held: Gains | null = null;
  const put = (model: BarModel, stated: Float64Array, power: Float64Array): void => {
    transition.set(model.transition);
    jerkNoise.set(model.jerkNoise);
    slowNoise.set(model.slowNoise);
    variances.set(stated);
    jerk.set(power);
  };
  const hold = (gains: Gains): void => {
    if (gains === held) return;
    put(gains.model, gains.variances, gains.jerk);
    predicted.set(gains.predicted);
    gain.set(gains.gain);
    innovation.set(gains.innovation);
    held = gains;
  };
  return {
    most,
    gains(model, stated, power) {
      const { n } = model;
      put(model, stated, power);
      wasm.smootherGains(n, diffuse, model.slowShare ** 2);
      held = {
        model,
        variances: stated,
        jerk: power,
        predicted: predicted.slice(0, mm * n),
        gain: gain.slice(0, m * n),
        innovation: innovation.slice(0, n),
      };
      return held;
    },
    mean(gains, y, say) {
      const { n } = gains.model;
      hold(gains);
      values.set(y);
      wasm.smootherMean(n, firstOf(gains, y));
      say?.error.set(error.subarray(0, n));
      say?.jerkEnergy.set(jerkEnergy.subarray(0, n));
      return mean.slice(0, m * n);
    },
    spread(gains) {
      const { n } = gains.model;
      hold(gains);
      wasm.smootherSpread(n);
      return {
        posterior: posterior.slice(0, 3 * n),
        errorVariance: errorVariance.slice(0, n),
        jerkFreedom: jerkFreedom.slice(0, n),
      };
    },
  };
}
