import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { quinticWeights } from '../../../shared-lib/motion/hermite.ts';
import { seededRandom, stream } from '../../../shared-lib/motion/random.ts';
import { measuredOf, spansOf } from '../../../shared-lib/motion/spans.ts';
import { median, robustSigma } from '../../../shared-lib/motion/statistics.ts';
import { losing, traceOf } from './traces.ts';

describe('random numbers', () => {
  it('repeat for a seed and differ between neighbouring seeds and between streams', () => {
    const five = (r: { uniform(): number }): number[] => Array.from({ length: 5 }, () => r.uniform());
    expect(five(seededRandom(1))).toEqual(five(seededRandom(1)));
    expect(five(seededRandom(1))).not.toEqual(five(seededRandom(2)));
    expect(five(stream(1, 'roll'))).toEqual(five(stream(1, 'roll')));
    expect(five(stream(1, 'roll'))).not.toEqual(five(stream(1, 'scale')));
    expect(five(stream(1, 'roll'))).not.toEqual(five(stream(2, 'roll')));
  });

  it('have the moments of their distributions, and streams no correlation', () => {
    const n = 40_000;
    const a = stream(7, 'a');
    const b = stream(7, 'b');
    const z = Float64Array.from({ length: n }, () => a.normal());
    const w = Float64Array.from({ length: n }, () => b.normal());
    const moment = (k: number): number => z.reduce((s, v) => s + v ** k, 0) / n;
    // Within four standard errors of normal moments: 1, 2, 15 and 96 over n.
    expect(Math.abs(moment(1))).toBeLessThan(4 * Math.sqrt(1 / n));
    expect(Math.abs(moment(2) - 1)).toBeLessThan(4 * Math.sqrt(2 / n));
    expect(Math.abs(moment(3))).toBeLessThan(4 * Math.sqrt(15 / n));
    expect(Math.abs(moment(4) - 3)).toBeLessThan(4 * Math.sqrt(96 / n));
    expect(Math.abs(z.reduce((s, v, i) => s + v * w[i], 0) / n)).toBeLessThan(4 / Math.sqrt(n));
    const u = Array.from({ length: n }, () => a.uniform());
    expect(Math.min(...u)).toBeGreaterThanOrEqual(0);
    expect(Math.max(...u)).toBeLessThan(1);
    expect(Math.abs(u.reduce((s, v) => s + v, 0) / n - 0.5)).toBeLessThan(4 * Math.sqrt(1 / 12 / n));
  });
});

describe('spans', () => {
  const trace = traceOf(() => 0, 120, 60);

  it('bridge what is lost for up to a second and end where more is', () => {
    expect(spansOf(trace)).toEqual([[0, 120]]);
    expect(spansOf(losing(trace, 30, 88))).toEqual([[0, 120]]);
    expect(spansOf(losing(trace, 30, 92))).toEqual([
      [0, 30],
      [92, 120],
    ]);
    expect(spansOf(losing(trace, 0, 30))).toEqual([[30, 120]]);
    expect(spansOf(losing(losing(trace, 3, 66), 69, 120))).toEqual([]);
  });

  it('give only what is seen a say', () => {
    const state = trace.state.map((_, i) => (i < 5 ? 1 : i < 12 && i > 9 ? 2 : 0));
    const variances = measuredOf(state, trace.syM, 0.0005);
    expect([...variances.slice(0, 5)]).toEqual(new Array(5).fill(Infinity));
    expect([...variances.slice(10, 12)]).toEqual([Infinity, Infinity]);
    expect(variances[12]).toBeCloseTo(4, 12);
  });
});

it('quintic weights reproduce every polynomial up to the fifth degree with its slope', () => {
  const six = fc.array(fc.double({ min: -3, max: 3, noNaN: true }), { minLength: 6, maxLength: 6 });
  const at = (c: number[], order: number, t: number): number =>
    c.reduce((sum, ck, k) => {
      let factor = 1;
      for (let j = 0; j < order; j++) factor *= k - j;
      return sum + (k >= order ? ck * factor * t ** (k - order) : 0);
    }, 0);
  fc.assert(
    fc.property(
      six,
      fc.double({ min: 0, max: 1, noNaN: true }),
      fc.double({ min: 0.01, max: 2, noNaN: true }),
      (c, u, h) => {
        const w = new Float64Array(12);
        quinticWeights(u, h, w, 0);
        const ends = [0, h].flatMap((t) => [0, 1, 2].map((order) => at(c, order, t)));
        expect(ends.reduce((s, e, k) => s + w[k] * e, 0)).toBeCloseTo(at(c, 0, u * h), 8);
        expect(ends.reduce((s, e, k) => s + w[6 + k] * e, 0)).toBeCloseTo(at(c, 1, u * h), 8);
      },
    ),
  );
});

describe('statistics', () => {
  it('take the median of what is finite', () => {
    expect(median([3, NaN, 1, 2])).toBe(2);
    expect(median([4, 1])).toBe(2.5);
    expect(median([])).toBeNaN();
    expect(median([Infinity, 7])).toBe(7);
  });

  it('take the same median of few and of many, whatever their order', () => {
    const values = fc.array(fc.oneof(fc.double({ min: 0, max: 1e9 }), fc.constant(Infinity)), {
      minLength: 1,
      maxLength: 80,
    });
    fc.assert(
      fc.property(values, (some) => {
        const sorted = some.filter(Number.isFinite).sort((a, b) => a - b);
        const half = sorted.length / 2;
        const middle = (sorted[Math.ceil(half - 1)] + sorted[Math.floor(half)]) / 2;
        expect(median(some)).toEqual(sorted.length > 0 ? middle : NaN);
      }),
    );
  });

  it("estimate a normal's sigma in spite of gross errors", () => {
    const random = seededRandom(31);
    const values = Array.from({ length: 4000 }, (_, i) => (i % 10 === 0 ? 1000 : 2 * random.normal()));
    // A tenth of gross errors raises it by 13 %.
    expect(robustSigma(values)).toBeGreaterThan(2);
    expect(robustSigma(values)).toBeLessThan(2.4);
  });
});
