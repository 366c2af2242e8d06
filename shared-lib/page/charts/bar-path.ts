import type { BarPath } from '../page-input.ts';

export interface BarPoint {
  xM: number;
  yM: number;
  vyMps: number;
}

/** The bar at a time, linear between samples; null outside the path and where the bar was lost. */
export function barAt(path: BarPath, tS: number): BarPoint | null {
  const n = path.tS.length;
  if (n === 0 || !(tS >= path.tS[0] && tS <= path.tS[n - 1])) return null;
  let after = path.tS.findIndex((t) => t >= tS);
  if (after === 0 && n > 1) after = 1;
  const before = Math.max(0, after - 1);
  const span = path.tS[after] - path.tS[before];
  const w = span > 0 ? (tS - path.tS[before]) / span : 0;
  // A sample that carries no weight may be lost without harm.
  const mix = (v: readonly number[]) =>
    w === 0 ? v[before] : w === 1 ? v[after] : v[before] * (1 - w) + v[after] * w;
  const point = { xM: mix(path.xM), yM: mix(path.yM), vyMps: mix(path.vyMps) };
  return Number.isFinite(point.xM + point.yM) ? point : null;
}

/** Indices of the samples from one time to another, both included. */
export function samplesWithin(path: BarPath, fromS: number, toS: number): number[] {
  return path.tS.flatMap((t, i) => (t >= fromS && t <= toS ? [i] : []));
}
