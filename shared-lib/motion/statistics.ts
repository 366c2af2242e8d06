/** Room for as few values as are put in order one by one: most medians are of a handful, and a hundred thousand of them are taken of a clip. */
const few = new Float64Array(32);

/** Median of the finite entries; NaN where there are none. */
export function median(values: ArrayLike<number>): number {
  const sorted = values.length <= few.length ? few : new Float64Array(values.length);
  let n = 0;
  for (let i = 0; i < values.length; i++) {
    const value = values[i];
    if (!Number.isFinite(value)) continue;
    let k = n++;
    if (sorted === few) for (; k > 0 && few[k - 1] > value; k--) few[k] = few[k - 1];
    sorted[k] = value;
  }
  if (n === 0) return NaN;
  if (sorted !== few) sorted.subarray(0, n).sort();
  return n % 2 === 1 ? sorted[(n - 1) / 2] : (sorted[n / 2 - 1] + sorted[n / 2]) / 2;
}

/** The value with half of the weight below it; 0 where there is none. */
export function weightedMedian(each: readonly { value: number; weight: number }[]): number {
  const sorted = [...each].sort((a, b) => a.value - b.value);
  const half = sorted.reduce((s, { weight }) => s + weight, 0) / 2;
  let below = 0;
  for (const { value, weight } of sorted) if ((below += weight) >= half) return value;
  return 0;
}

/** Of a normal distribution: its standard deviation over its median magnitude, 1 / its upper quartile. */
export const sigmaPerMedian = 1.4826;

/** Standard deviation about zero from the median of magnitudes; half of the values may be anything. */
export function robustSigma(values: ArrayLike<number>): number {
  return sigmaPerMedian * median(Float64Array.from(values, Math.abs));
}

/** Tukey's biweight keeps 95 % efficiency on Gaussian errors at this multiple of sigma (Holland & Welsch 1977, from memory). */
export const biweightReach = 4.685;

/** Tukey's biweight of a residual: 1 at none, 0 beyond its reach. */
export function biweight(residual: number, sigma: number): number {
  const r = residual / (biweightReach * sigma);
  return Math.max(0, 1 - r * r) ** 2;
}
