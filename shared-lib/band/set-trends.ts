import { deviation, mean, sum } from 'd3-array';
import tQuantile from '@stdlib/stats-base-dists-t-quantile';
import type { Lift } from '../contract/lift.ts';
import { headlineMeasures, measureInfo, type MeasureName } from '../contract/measures.ts';
import type { SetTrend } from '../contract/set.ts';
import { fromUsual, leastReps, measureBand } from './measure-band.ts';

/**
 * How a set's headline measures go from its first rep to its last: the least-squares line over the reps' numbers, with the
 * Student t interval of its slope (Draper & Smith 1998, Applied Regression Analysis, section 1.4, section from memory). The
 * scatter of the reps about the line holds what lifter and measuring add anew in each rep; what camera and disc do to all
 * of them alike cancels. All intervals of a set hold together with 95 % (Bonferroni).
 *
 * @param reps values by measure, in the order lifted; null where a rep lacks one
 * @param deltas differences worth acting on that the coach has changed, SI
 */
export function setTrends(
  lift: Lift,
  reps: readonly Partial<Record<MeasureName, number | null>>[],
  deltas: Partial<Record<MeasureName, number>> = {},
): SetTrend[] {
  const told = headlineMeasures(lift)
    .map((name) => ({
      name,
      points: reps.flatMap((rep, k) => {
        const value = rep[name];
        return value === null || value === undefined ? [] : [{ k, value }];
      }),
    }))
    .filter(({ points }) => points.length >= leastReps);
  return told.map(({ name, points }) => {
    const { unit, delta } = measureInfo[name];
    const worth = deltas[name] ?? delta ?? 0;
    const trend = trendOf(points, told.length);
    const { total, lo95, hi95 } = trend;
    const creeps = (lo95 > 0 || hi95 < 0) && Math.abs(total) >= worth;
    return {
      name,
      unit,
      reps: points.length,
      ...trend,
      creeps,
      last: lastAgainstEarlier(points, told.length),
    };
  });
}

interface Point {
  /** The rep's number in the set, from 0. */
  k: number;
  value: number;
}

function trendOf(
  points: readonly Point[],
  together: number,
): Pick<SetTrend, 'sd' | 'total' | 'lo95' | 'hi95'> {
  const n = points.length;
  const [mk, mv] = [mean(points, (p) => p.k)!, mean(points, (p) => p.value)!];
  const skk = sum(points, (p) => (p.k - mk) ** 2);
  const slope = sum(points, (p) => (p.k - mk) * (p.value - mv)) / skk;
  const left = sum(points, (p) => (p.value - mv - slope * (p.k - mk)) ** 2);
  const spanReps = points[n - 1].k - points[0].k;
  const half = tQuantile(1 - 0.025 / together, n - 2) * Math.sqrt(left / (n - 2) / skk) * spanReps;
  const total = slope * spanReps;
  return { sd: deviation(points, (p) => p.value)!, total, lo95: total - half, hi95: total + half };
}

function lastAgainstEarlier(points: readonly Point[], together: number): SetTrend['last'] {
  // Errors of one clip are shared by all of its reps: scatter alone is left.
  const rep = ({ value }: Point) => ({ value, u95: 0, session: '', clip: '' });
  const band = measureBand(points.slice(0, -1).map(rep));
  if (!band) return null;
  const { deviation: away, interval } = fromUsual(band, rep(points[points.length - 1]), together);
  return { deviation: away, lo95: interval[0], hi95: interval[1] };
}
