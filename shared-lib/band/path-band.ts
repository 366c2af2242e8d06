import { deviation, mean, pairs, sum } from 'd3-array';
import tCdf from '@stdlib/stats-base-dists-t-cdf';
import { legsOf, passing, type Leg, type RepPath } from '../pair/line-up.ts';
import { leastReps } from './measure-band.ts';

/** Where the bar usually passes each height on one way, down or up. One entry per height. */
export interface LegBand {
  heightM: number[];
  meanM: number[];
  /** Sample standard deviation at each height. */
  sdM: number[];
}

export interface PathBand {
  n: number;
  down: LegBand | null;
  up: LegBand | null;
  /** Half the band's width in prediction standard deviations, sd √(1 + 1/n): the same at every height. */
  factor: number;
}

/** Heights are taken this far apart, metres. */
const heightStepM = 0.01;

/**
 * The band that one more rep's whole path stays inside with 95 %: x by height, down and up, over the heights that all
 * reps pass. Null for fewer than three reps.
 *
 * A new rep's standardised distance from the mean is a t field along the path. That it leaves ± k anywhere has about the
 * probability of its expected Euler characteristic, 2 (parts · P(t > k) + √Λ-length / 2π · (1 + k²/ν)^(-(ν-1)/2))
 * (Worsley et al. 1996, Hum Brain Mapp 4:58-73, one dimension; from memory), with ν = n - 1 and √Λ-length the path's
 * length times the root-mean-square slope of the reps' standardised residuals.
 *
 * @param paths from the same origin
 */
export function pathBand(paths: readonly RepPath[]): PathBand | null {
  if (paths.length < leastReps) return null;
  const legs = paths.map(legsOf);
  const down = legBand(legs.map((leg) => leg.down));
  const up = legBand(legs.map((leg) => leg.up));
  const there = [down, up].filter((leg) => leg !== null);
  if (there.length === 0) return null;
  const length = sum(there, (leg) => leg.smoothnessLength);
  return {
    n: paths.length,
    down: down?.band ?? null,
    up: up?.band ?? null,
    factor: fieldFactor(paths.length - 1, there.length, length),
  };
}

/** x at equal heights, the mean and the scatter; null where a rep lacks the way or no height is passed by all. */
function legBand(legs: readonly (Leg | null)[]): { band: LegBand; smoothnessLength: number } | null {
  const whole = legs.filter((leg) => leg !== null);
  if (whole.length < legs.length) return null;
  const lo = Math.max(...whole.map((leg) => Math.min(leg.heightM[0], leg.heightM.at(-1)!)));
  const hi = Math.min(...whole.map((leg) => Math.max(leg.heightM[0], leg.heightM.at(-1)!)));
  const band: LegBand = { heightM: [], meanM: [], sdM: [] };
  const residuals: number[][] = [];
  for (let k = Math.ceil(lo / heightStepM); k * heightStepM <= hi; k++) {
    const heightM = k * heightStepM;
    const xM = whole.map((leg) => passing(leg, heightM)!.xM);
    const [meanM, sdM] = [mean(xM)!, deviation(xM)!];
    band.heightM.push(heightM);
    band.meanM.push(meanM);
    band.sdM.push(sdM);
    residuals.push(xM.map((x) => (sdM > 0 ? (x - meanM) / sdM : 0)));
  }
  return residuals.length < 2 ? null : { band, smoothnessLength: smoothnessLength(residuals) };
}

/**
 * Length of a leg in units in which a unit-variance field has unit-variance slope, from standardised residuals by height
 * (rows) and rep (columns). All paths meet at the origin, where the scatter vanishes: its slope is the reps' own.
 */
function smoothnessLength(residuals: readonly number[][]): number {
  const nu = residuals[0].length - 1;
  return sum(pairs(residuals), ([a, b]) => Math.sqrt(sum(a, (v, i) => (b[i] - v) ** 2) / nu));
}

/** The k that a t field of ν degrees of freedom leaves anywhere on its `parts` with 5 %. */
function fieldFactor(nu: number, parts: number, length: number): number {
  const leaves = (k: number): number =>
    2 * (parts * tCdf(-k, nu) + (length / (2 * Math.PI)) * (1 + (k * k) / nu) ** (-(nu - 1) / 2));
  let [lo, hi] = [0, 1];
  while (leaves(hi) > 0.05) hi *= 2;
  for (let i = 0; i < 60; i++) {
    const middle = (lo + hi) / 2;
    if (leaves(middle) > 0.05) lo = middle;
    else hi = middle;
  }
  return hi;
}

/** Half the band's width at each height of a leg, metres. */
export const halfWidthsM = ({ n, factor }: PathBand, leg: LegBand): number[] =>
  leg.sdM.map((sd) => factor * sd * Math.sqrt(1 + 1 / n));
