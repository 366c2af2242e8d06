/**
 * The smoother's passes, as `gainsPlainly`, `meanPlainly` and `spreadPlainly` of shared-lib/motion/state-smoother.ts make them, in
 * the same order, so that the result is the same to the bit. Compiled by AssemblyScript to dist/kernels.wasm; the plain versions
 * are its test.
 */
const most: i32 = 8192;
const m: i32 = 4;
const mm: i32 = m * m;
const column: usize = (<usize>most) << 3;

/** Of each sample, as they come in: transition, noise of jerk, of the slow error, variances, jerk, covariances, gains, innovations. */
const transition = memory.data((3 * 16 + 4 + 4) * 8192 * 8, 16);
const jerkNoise: usize = transition + 16 * column;
const slowNoise: usize = jerkNoise + 16 * column;
const variances: usize = slowNoise + column;
const jerk: usize = variances + column;
const predicted: usize = jerk + column;
const gain: usize = predicted + 16 * column;
const innovation: usize = gain + 4 * column;

/** Values, and what comes out: means, errors, energies; variances, those of errors, freedoms. */
const values = memory.data((1 + 4 + 2 + 3 + 2) * 8192 * 8, 16);
const mean: usize = values + column;
const error: usize = mean + 4 * column;
const jerkEnergy: usize = error + column;
const posterior: usize = jerkEnergy + column;
const errorVariance: usize = posterior + 3 * column;
const jerkFreedom: usize = errorVariance + column;
const surprise = memory.data(8192 * 8, 16);

/** Work space: three matrices, two vectors. */
const updated = memory.data((3 * 16 + 2 * 4) * 8, 16);
const moved: usize = updated + mm * 8;
const info: usize = moved + mm * 8;
const taken: usize = info + mm * 8;
const back: usize = taken + m * 8;

export function smootherMost(): i32 {
  return most;
}
export function smootherFiguresAt(): usize {
  return transition;
}
export function smootherValuesAt(): usize {
  return values;
}

function value(what: usize, k: i32): f64 {
  return load<f64>(what + (k << 3));
}
function put(what: usize, k: i32, value: f64): void {
  store<f64>(what + (k << 3), value);
}

function product(a: usize, b: usize, out: usize): void {
  for (let r = 0; r < mm; r += m)
    for (let c = 0; c < m; c++)
      put(
        out,
        r + c,
        value(a, r) * value(b, c) +
          value(a, r + 1) * value(b, m + c) +
          value(a, r + 2) * value(b, 2 * m + c) +
          value(a, r + 3) * value(b, 3 * m + c),
      );
}
function productTransposed(a: usize, b: usize, out: usize): void {
  for (let r = 0; r < m; r++)
    for (let c = 0; c < m; c++) {
      let sum: f64 = 0;
      for (let j = 0; j < m; j++) sum += value(a, m * r + j) * value(b, m * c + j);
      put(out, m * r + c, sum);
    }
}
function transposedProduct(a: usize, b: usize, out: usize): void {
  for (let r = 0; r < m; r++)
    for (let c = 0; c < m; c++) {
      let sum: f64 = 0;
      for (let j = 0; j < m; j++) sum += value(a, m * j + r) * value(b, m * j + c);
      put(out, m * r + c, sum);
    }
}
function quadratic(v: usize, a: usize): f64 {
  let sum: f64 = 0;
  for (let r = 0; r < m; r++)
    for (let c = 0; c < m; c++) sum += value(v, r) * value(a, m * r + c) * value(v, c);
  return sum;
}

export function smootherGains(n: i32, diffuse: f64, slowVariance: f64): void {
  memory.fill(predicted, 0, mm * 8);
  for (let r = 0; r + 1 < m; r++) put(predicted, m * r + r, diffuse);
  put(predicted, mm - 1, slowVariance);
  for (let i = 0; i < n; i++) {
    const p = predicted + ((<usize>(mm * i)) << 3);
    const k = gain + ((<usize>(m * i)) << 3);
    const c0 = value(p, 0) + value(p, 3);
    const c1 = value(p, m) + value(p, m + 3);
    const c2 = value(p, 2 * m) + value(p, 2 * m + 3);
    const c3 = value(p, 3 * m) + value(p, 3 * m + 3);
    const s = c0 + c3 + value(variances, i);
    put(innovation, i, s);
    if (s < Infinity) {
      put(k, 0, c0 / s);
      put(k, 1, c1 / s);
      put(k, 2, c2 / s);
      put(k, 3, c3 / s);
    } else memory.fill(k, 0, m * 8);
    if (i + 1 == n) break;
    if (s == Infinity) memory.copy(updated, p, mm * 8);
    else
      for (let r = 0; r < m; r++) {
        put(updated, m * r, value(p, m * r) - value(k, r) * c0);
        put(updated, m * r + 1, value(p, m * r + 1) - value(k, r) * c1);
        put(updated, m * r + 2, value(p, m * r + 2) - value(k, r) * c2);
        put(updated, m * r + 3, value(p, m * r + 3) - value(k, r) * c3);
      }
    const t = transition + ((<usize>(mm * i)) << 3);
    const next = p + mm * 8;
    product(t, updated, moved);
    productTransposed(moved, t, next);
    const noise = jerkNoise + ((<usize>(mm * i)) << 3);
    const power = value(jerk, i);
    for (let c = 0; c < mm; c++) put(next, c, value(next, c) + power * value(noise, c));
    put(next, mm - 1, value(next, mm - 1) + value(slowNoise, i));
  }
}

/** @param first where the first sample is taken to be */
export function smootherMean(n: i32, first: f64): void {
  put(mean, 0, first);
  memory.fill(mean + 8, 0, 3 * 8);
  for (let i = 0; i < n; i++) {
    const at = mean + ((<usize>(m * i)) << 3);
    const k = gain + ((<usize>(m * i)) << 3);
    const t = transition + ((<usize>(mm * i)) << 3);
    const off = value(variances, i) < Infinity ? value(values, i) - value(at, 0) - value(at, 3) : 0;
    put(surprise, i, off);
    if (i + 1 == n) break;
    const a0 = value(at, 0) + value(k, 0) * off;
    const a1 = value(at, 1) + value(k, 1) * off;
    const a2 = value(at, 2) + value(k, 2) * off;
    const a3 = value(at, 3) + value(k, 3) * off;
    put(at, 4, a0 + value(t, 1) * a1 + value(t, 2) * a2);
    put(at, 5, a1 + value(t, 6) * a2);
    put(at, 6, a2);
    put(at, 7, value(t, 15) * a3);
  }
  memory.fill(back, 0, m * 8);
  put(jerkEnergy, n - 1, 0);
  for (let i = n - 1; i >= 0; i--) {
    const at = mean + ((<usize>(m * i)) << 3);
    const k = gain + ((<usize>(m * i)) << 3);
    const t = transition + ((<usize>(mm * i)) << 3);
    const p = predicted + ((<usize>(mm * i)) << 3);
    if (i + 1 < n) {
      put(jerkEnergy, i, value(jerk, i) * quadratic(back, jerkNoise + ((<usize>(mm * i)) << 3)));
      put(back, 2, value(back, 2) + (value(t, 2) * value(back, 0) + value(t, 6) * value(back, 1)));
      put(back, 1, value(back, 1) + value(t, 1) * value(back, 0));
      put(back, 3, value(back, 3) * value(t, 15));
    }
    let its: f64 = 0;
    if (value(variances, i) < Infinity) {
      const known =
        value(k, 0) * value(back, 0) +
        value(k, 1) * value(back, 1) +
        value(k, 2) * value(back, 2) +
        value(k, 3) * value(back, 3);
      its = value(surprise, i) / value(innovation, i) - known;
      put(back, 0, value(back, 0) + its);
      put(back, 3, value(back, 3) + its);
    }
    put(error, i, its);
    for (let c = 0; c < m; c++) {
      const row = p + m * c * 8;
      put(
        at,
        c,
        value(at, c) +
          (value(row, 0) * value(back, 0) +
            value(row, 1) * value(back, 1) +
            value(row, 2) * value(back, 2) +
            value(row, 3) * value(back, 3)),
      );
    }
  }
}

export function smootherSpread(n: i32): void {
  memory.fill(info, 0, mm * 8);
  for (let i = n - 1; i >= 0; i--) {
    const k = gain + ((<usize>(m * i)) << 3);
    const t = transition + ((<usize>(mm * i)) << 3);
    const p = predicted + ((<usize>(mm * i)) << 3);
    let freedom: f64 = 0;
    if (i + 1 < n) {
      const noise = jerkNoise + ((<usize>(mm * i)) << 3);
      const power = value(jerk, i);
      for (let c = 0; c < mm; c++) freedom += power * value(noise, c) * value(info, c);
      product(info, t, moved);
      transposedProduct(t, moved, info);
    }
    put(jerkFreedom, i, freedom);
    let variance: f64 = 0;
    if (value(variances, i) < Infinity) {
      let known: f64 = 0;
      for (let r = 0; r < m; r++) {
        let sum: f64 = 0;
        for (let c = 0; c < m; c++) sum += value(info, m * r + c) * value(k, c);
        put(taken, r, sum);
      }
      for (let r = 0; r < m; r++) known += value(k, r) * value(taken, r);
      variance = 1 / value(innovation, i) + known;
      for (let c = 0; c < m; c += 3)
        for (let r = 0; r < m; r++) {
          put(info, m * c + r, value(info, m * c + r) - value(taken, r));
          put(info, m * r + c, value(info, m * r + c) - value(taken, r));
        }
      put(info, 0, value(info, 0) + variance);
      put(info, 3, value(info, 3) + variance);
      put(info, 12, value(info, 12) + variance);
      put(info, 15, value(info, 15) + variance);
    }
    put(errorVariance, i, variance);
    for (let c = 0; c < 3; c++) {
      const row = p + m * c * 8;
      put(posterior, 3 * i + c, max<f64>(0, value(row, c) - quadratic(row, info)));
    }
  }
}
