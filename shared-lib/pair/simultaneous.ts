import { quantileSorted } from 'd3-array';
import type { Interval } from './calls.ts';
import { summarize } from './monte-carlo.ts';

/**
 * Intervals that hold together: at 95 % all of them contain their quantity at once. Each quantity's draws are
 * standardised by the two halves of its own 95 % interval, so that skew is kept; the 95th percentile of the largest
 * standardised deviation over the quantities widens all alike (the maximum-modulus construction by simulation).
 *
 * @param columns draws by quantity, all of the same length, NaN where a quantity is undefined in a draw
 * @returns one interval per column, null where no draw defines it
 */
export function simultaneousIntervals(columns: readonly Float64Array[]): (Interval | null)[] {
  const centres = columns.map((column) => summarize(column));
  const n = columns[0]?.length ?? 0;
  const largest = new Float64Array(n);
  columns.forEach((column, j) => {
    const c = centres[j];
    if (!c) return;
    const below = c.median - c.lo95;
    const above = c.hi95 - c.median;
    for (let k = 0; k < n; k++) {
      const deviation = column[k] - c.median;
      const half = deviation < 0 ? below : above;
      // A quantity that never moves in a direction cannot leave its interval there but by a stray draw.
      if (half > 0) largest[k] = Math.max(largest[k], Math.abs(deviation) / half || 0);
    }
  });
  const widen = n === 0 ? 1 : Math.max(1, quantileSorted(Array.from(largest.sort()), 0.95)!);
  return centres.map(
    (c) => c && [c.median - widen * (c.median - c.lo95), c.median + widen * (c.hi95 - c.median)],
  );
}
