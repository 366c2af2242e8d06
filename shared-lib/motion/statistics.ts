/** Median of the finite entries; NaN where there are none. */
export function median(values: ArrayLike<number>): number {
  const sorted = Float64Array.from(values).filter(Number.isFinite).sort();
  const n = sorted.length;
  if (n === 0) return NaN;
  return n % 2 === 1 ? sorted[(n - 1) / 2] : (sorted[n / 2 - 1] + sorted[n / 2]) / 2;
}

/** Standard deviation about zero from the median of magnitudes; half of the values may be anything. */
export function robustSigma(values: ArrayLike<number>): number {
  // 1.4826 = 1 / the normal distribution's upper quartile.
  return 1.4826 * median(Float64Array.from(values, Math.abs));
}
