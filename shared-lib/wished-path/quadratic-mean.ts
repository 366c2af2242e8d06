import { mean } from 'd3-array';

/** Root of the mean square of the finite values; NaN where there are none. */
export const quadraticMean = (values: readonly number[]): number =>
  Math.sqrt(mean(values.filter(Number.isFinite), (value) => value * value) ?? NaN);
