import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import { simultaneousIntervals } from '../../../shared-lib/pair/simultaneous.ts';

const n = 40_000;
const random = seededRandom(7);
const normals = () => Float64Array.from({ length: n }, () => random.normal());

const halfWidth = (i: readonly [number, number] | null) => (i![1] - i![0]) / 2;

describe('simultaneousIntervals', () => {
  it('leaves one quantity at its own 95 % interval', () => {
    const [only] = simultaneousIntervals([normals()]);
    expect(halfWidth(only)).toBeCloseTo(1.96, 1);
  });

  it('widens six independent normals to 2.631, the two-sided 95 % point of the largest of six', () => {
    // 0.95^(1/6) = 0.99149; the normal quantile of (1 + 0.99149) / 2 is 2.631.
    const six = simultaneousIntervals(Array.from({ length: 6 }, normals));
    for (const interval of six) expect(Math.abs(halfWidth(interval) - 2.631)).toBeLessThan(0.06);
  });

  it('does not widen quantities that move together', () => {
    const column = normals();
    const [a, b] = simultaneousIntervals([column, column.map((x) => 5 * x)]);
    expect(halfWidth(a)).toBeCloseTo(1.96, 1);
    expect(halfWidth(b) / halfWidth(a)).toBeCloseTo(5, 6);
  });

  it('holds all quantities at once in 95 % of the draws, skewed ones and undefined draws among them', () => {
    const skewed = normals().map(Math.exp);
    const gappy = normals().map((x, k) => (k % 10 === 0 ? NaN : x));
    const columns = [normals(), skewed, gappy];
    const intervals = simultaneousIntervals(columns);
    let held = 0;
    for (let k = 0; k < n; k++) {
      held += Number(columns.every((c, j) => !(c[k] < intervals[j]![0] || c[k] > intervals[j]![1])));
    }
    expect(held / n).toBeCloseTo(0.95, 2);
    // The skew stays: the upper arm of a log-normal is longer than the lower.
    expect(intervals[1]![1] - 1).toBeGreaterThan(3 * (1 - intervals[1]![0]));
  });

  it('keeps a quantity that never varies as a point and gives null where nothing is defined', () => {
    const [still, none] = simultaneousIntervals([new Float64Array(n), new Float64Array(n).fill(NaN)]);
    expect(still).toEqual([0, 0]);
    expect(none).toBeNull();
    expect(simultaneousIntervals([])).toEqual([]);
  });
});
