import { quantileSorted } from 'd3-array';
import type { Random } from '../motion/random.ts';

/** Draws one value of an input quantity. */
export type Sampler<T = number> = (random: Random) => T;

/** Normal with the given mean and standard deviation. */
export const normal =
  (mean: number, sigma: number): Sampler =>
  (random) =>
    mean + sigma * random.normal();

/** Rectangular between centre - halfWidth and centre + halfWidth. */
export const rectangular =
  (centre: number, halfWidth: number): Sampler =>
  (random) =>
    centre + halfWidth * (2 * random.uniform() - 1);

/**
 * Propagates distributions through a measurement model by Monte Carlo (JCGM 101:2008, clause 7).
 *
 * @param f the model; receives one value per input
 * @param inputs one sampler per input quantity; a sampler may return a vector for inputs that are correlated
 * @param n number of trials
 * @returns n values of the model, in the order drawn
 */
export function monteCarlo<T extends readonly unknown[]>(
  f: (...values: T) => number,
  inputs: { readonly [K in keyof T]: Sampler<T[K]> },
  n: number,
  random: Random,
): Float64Array {
  const out = new Float64Array(n);
  for (let k = 0; k < n; k++) out[k] = f(...(inputs.map((draw) => draw(random)) as unknown as T));
  return out;
}

export interface Summary {
  /** Draws in which the quantity was defined. */
  count: number;
  median: number;
  /** Probabilistically symmetric 95 % coverage interval (JCGM 101:2008, 7.7.2). */
  lo95: number;
  hi95: number;
}

/**
 * Median and 95 % interval of the finite values; NaN entries are draws in which the quantity does not exist.
 * Null where none is finite. Of n draws the k-th smallest stands for k / (n + 1), so that the next draw falls inside the
 * interval in 95 % of cases however few there are (Hyndman & Fan 1996, Am Stat 50:361-365, definition 6).
 */
export function summarize(values: Float64Array): Summary | null {
  const sorted = Array.from(values.filter(Number.isFinite).sort());
  if (sorted.length === 0) return null;
  const n = sorted.length;
  // The library puts the k-th smallest at (k - 1) / (n - 1).
  const at = (p: number) => quantileSorted(sorted, clamp((p * (n + 1) - 1) / Math.max(1, n - 1)))!;
  return { count: sorted.length, median: at(0.5), lo95: at(0.025), hi95: at(0.975) };
}

const clamp = (p: number) => Math.min(1, Math.max(0, p));
