import { quadraticMean } from './quadratic-mean.ts';
import type { WayDeviation } from '../contract/wished.ts';
import type { Handle } from '../contract/coaching.ts';
import { callOf } from '../pair/calls.ts';
import { simultaneousIntervals } from '../pair/simultaneous.ts';
import { summarize } from '../pair/monte-carlo.ts';
import type { DrawnWay } from './drawn-ways.ts';
import { smoothWay } from './smooth-way.ts';

/** Deviation from the wished path worth acting on, metres: as furthest drift, common practice. */
export const wishedDeltaM = 0.02;

/**
 * How far the bar was from the wished way at each height, today minus wished, with intervals that hold together over all
 * heights; the largest of them, called like a change; and the quadratic mean. Null where the two share no heights.
 */
export function deviationOf(
  way: DrawnWay,
  handles: readonly Handle[],
  deltaM = wishedDeltaM,
): WayDeviation | null {
  const wishedM = smoothWay(handles);
  if (!wishedM) return null;
  const shared = way.heightM.flatMap((h, i) => {
    const wished = wishedM(h);
    return wished === null ? [] : [{ i, wished }];
  });
  // A height that fewer than half of the draws pass carries no interval.
  const columns = shared.map(({ i, wished }) => way.draws[i].map((x) => x - wished));
  const kept = shared.flatMap((_, j) =>
    columns[j].filter(Number.isFinite).length > columns[j].length / 2 ? [j] : [],
  );
  if (kept.length < 2) return null;
  const intervals = simultaneousIntervals(kept.map((j) => columns[j]));
  const deviationM = kept.map((j) => way.xM[shared[j].i] - shared[j].wished);
  const heightM = kept.map((j) => way.heightM[shared[j].i]);
  const lo95M = intervals.map((interval, n) => Math.min(interval![0], deviationM[n]));
  const hi95M = intervals.map((interval, n) => Math.max(interval![1], deviationM[n]));
  const at = deviationM.reduce((best, d, n) => (Math.abs(d) > Math.abs(deviationM[best]) ? n : best), 0);
  const change = deviationM[at];
  const call = callOf({
    change,
    d: [lo95M[at], hi95M[at]],
    l: null,
    delta: deltaM,
    ruledOut: false,
  });
  const draws = columns[0].length;
  const rmsDraws = Float64Array.from({ length: draws }, (_, k) =>
    quadraticMean(kept.map((j) => columns[j][k])),
  );
  const rms = quadraticMean(deviationM);
  const spread = summarize(rmsDraws)!;
  return {
    heightM,
    deviationM,
    lo95M,
    hi95M,
    largest: { heightM: heightM[at], deviationM: change, lo95M: lo95M[at], hi95M: hi95M[at], call },
    rmsM: rms,
    rmsLo95M: Math.min(spread.lo95, rms),
    rmsHi95M: Math.max(spread.hi95, rms),
  };
}
