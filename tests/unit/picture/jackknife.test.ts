import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { jackknifeCovariance, solveTogether } from '../../../shared-lib/picture/jackknife.ts';

const groupOf = (values: number[]) => ({
  matrix: Float64Array.of(values.length),
  right: Float64Array.of(values.reduce((a, b) => a + b, 0)),
});

describe('jackknifeCovariance', () => {
  it('of a mean is the variance of the mean, whatever the values', () => {
    const values = fc.array(fc.double({ min: -100, max: 100, noNaN: true }), { minLength: 3, maxLength: 30 });
    fc.assert(
      fc.property(values, (v) => {
        const mean = v.reduce((a, b) => a + b, 0) / v.length;
        const squares = v.reduce((a, b) => a + (b - mean) ** 2, 0);
        const groups = v.map((x) => groupOf([x]));
        expect(solveTogether(groups, [0])![0]).toBeCloseTo(mean, 9);
        const variance = jackknifeCovariance(groups, [0])![0];
        expect(variance).toBeCloseTo(squares / (v.length - 1) / v.length, 6);
      }),
    );
  });

  it('knows that neighbours share their flaws: groups of equal values count once each', () => {
    const alone = [1, 4, 2, 7, 3];
    const shared = alone.map((v) => groupOf([v, v, v, v]));
    const single = alone.map((v) => groupOf([v]));
    expect(jackknifeCovariance(shared, [0])![0]).toBeCloseTo(jackknifeCovariance(single, [0])![0], 9);
  });

  it('has no answer where one group alone determines an unknown', () => {
    const first = { matrix: Float64Array.of(1, 0, 0, 0), right: Float64Array.of(2, 0) };
    const second = { matrix: Float64Array.of(0, 0, 0, 1), right: Float64Array.of(0, 3) };
    expect(jackknifeCovariance([first, second], [0, 0])).toBeNull();
  });
});
