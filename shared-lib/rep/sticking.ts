import { heightPct } from './drive.ts';
import { type RepFrame, seconds } from './rep-frame.ts';
import { type At, highest, samplesWithin, turnAt } from './sampling.ts';
import { velocityProminenceMps } from './thresholds.ts';
import { turningPoints } from './turning-points.ts';

/** A sticking region: from the first velocity maximum, vmax1, to a minimum after it, vmin. */
export interface StickingPoint {
  at: At;
  vMps: number;
  /** Percent of the drive's range. */
  heightPct: number;
  /** From vmax1 down to vmin, m/s. */
  dropMps: number;
  /** From vmax1 to vmin, seconds. */
  durationS: number;
  prominenceMps: number;
}

/** The minimum lies at least this long after the first maximum, seconds, */
const leastS = 0.2;
/** and above this share of the range. */
const leastHeightPct = 10;
/** A loaded bar whips at 4 to 5 Hz after a fast start (common practice); looked for in this range. */
const whipHz = { least: 3, most: 7 } as const;
/** So many turning points in a row, as far apart as each other within the tolerance, are a ripple. */
const rippleTurns = 4;
const rippleTolerance = 0.25;

/**
 * The sticking points of a drive, the most prominent first; empty where there are none, as in most
 * submaximal drives. The region is that of van den Tillaar & Ettema 2010 (J Sports Sci 28:529-535), from
 * the first maximum of the velocity to a local lowest. Where several maxima come before a minimum, vmax1 is the first
 * that none of the later ones exceeds by what makes a maximum count: a bar that gains speed again was not stuck before,
 * one that only comes back to its speed was. Where the velocity ripples at a steady 3 to 7 Hz the bar's whip is taken
 * out first by a mean over one period.
 */
export function stickingPoints(rep: RepFrame): StickingPoint[] {
  const { motion, driveStart, lockout, noise } = rep;
  if (lockout === null) return [];
  const [first, last] = samplesWithin(motion, driveStart, lockout);
  const periodS = whipPeriod(motion.vyMps, first, last, motion.dtS, noise.svMps);
  const v = periodS === null ? motion.vyMps : movingMean(motion.vyMps, first, last, periodS / motion.dtS);
  const leastMps = velocityProminenceMps(noise.svMps);
  const points = turningPoints(v, first, last, leastMps);
  return points
    .flatMap((point, k): StickingPoint[] => {
      if (point.kind !== 'valley' || k === 0 || k === points.length - 1) return [];
      const before = highest(motion, v, first, point.i);
      const after = highest(motion, v, point.i, last);
      const vmax1 = points.find((p) => p.kind === 'peak' && p.value >= before.value - leastMps)!;
      const at = turnAt(v, point.i);
      const durationS = seconds(rep, turnAt(v, vmax1.i), at);
      const pct = heightPct(rep, at);
      if (durationS < leastS || pct <= leastHeightPct) return [];
      return [
        {
          at,
          vMps: point.value,
          heightPct: pct,
          dropMps: vmax1.value - point.value,
          durationS,
          prominenceMps: Math.min(before.value, after.value) - point.value,
        },
      ];
    })
    .sort((a, b) => b.prominenceMps - a.prominenceMps);
}

/** The period of a steady ripple on the velocity, seconds; null where there is none. */
function whipPeriod(v: Float64Array, first: number, last: number, dtS: number, svMps: number): number | null {
  const points = turningPoints(v, first, last, velocityProminenceMps(svMps) / 2);
  const gaps = points.slice(1).map((p, k) => (p.i - points[k].i) * dtS);
  for (let k = 0; k + rippleTurns <= gaps.length; k++) {
    const run = gaps.slice(k, k + rippleTurns);
    const mean = run.reduce((a, b) => a + b, 0) / rippleTurns;
    const steady = run.every((g) => Math.abs(g - mean) <= rippleTolerance * mean);
    if (steady && 1 / (2 * mean) >= whipHz.least && 1 / (2 * mean) <= whipHz.most) return 2 * mean;
  }
  return null;
}

/** Mean over `width` samples about each of [first, last], the window shrinking evenly at the ends. */
function movingMean(v: Float64Array, first: number, last: number, width: number): Float64Array {
  const sums = new Float64Array(last - first + 2);
  for (let i = first; i <= last; i++) sums[i - first + 1] = sums[i - first] + v[i];
  const out = v.slice();
  for (let i = first; i <= last; i++) {
    const half = Math.min(Math.round((width - 1) / 2), i - first, last - i);
    out[i] = (sums[i + half - first + 1] - sums[i - half - first]) / (2 * half + 1);
  }
  return out;
}
