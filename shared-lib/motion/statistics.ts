/** Room for as few values as are put in order one by one: most medians are of a handful, and a hundred thousand of them are taken of a clip. */
const few = new Float64Array(32);

/** Room for more values; grows to the most that were asked about. */
let many = new Float64Array(0);

/** Median of the finite entries, of the first `count`; NaN where there are none. */
export function median(values: ArrayLike<number>, count = values.length): number {
  const isFew = count <= few.length;
  if (!isFew && many.length < count) many = new Float64Array(count);
  const kept = isFew ? few : many;
  let n = 0;
  for (let i = 0; i < count; i++) {
    const value = values[i];
    if (!Number.isFinite(value)) continue;
    let k = n++;
    if (isFew) for (; k > 0 && few[k - 1] > value; k--) few[k] = few[k - 1];
    kept[k] = value;
  }
  if (n === 0) return NaN;
  const k = n >> 1;
  if (!isFew) putInPlace(many, n, k);
  if (n % 2 === 1) return kept[k];
  let below = kept[k - 1];
  if (!isFew) for (let i = 0; i < k; i++) below = Math.max(below, many[i]);
  return (below + kept[k]) / 2;
}

/** The k-th of n values from the smallest on, counted from 0; they are put in another order. */
export function ranked(values: Float64Array, n: number, k: number): number {
  putInPlace(values, n, k);
  return values[k];
}

/** Brings the k-th of n values to its place, none greater before it and none smaller behind (Hoare 1961, CACM 4(7):321, from memory). */
function putInPlace(values: Float64Array, n: number, k: number): void {
  let low = 0;
  let high = n - 1;
  while (low < high) {
    const pivot = values[(low + high) >> 1];
    let i = low;
    let j = high;
    while (i <= j) {
      while (values[i] < pivot) i++;
      while (values[j] > pivot) j--;
      if (i > j) break;
      const value = values[i];
      values[i++] = values[j];
      values[j--] = value;
    }
    if (k <= j) high = j;
    else if (k >= i) low = i;
    else return;
  }
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
