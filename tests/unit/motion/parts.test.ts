import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { quinticWeights } from '../../../shared-lib/motion/hermite.ts';
import { noiseScale } from '../../../shared-lib/motion/noise-scale.ts';
import { seededRandom, stream } from '../../../shared-lib/motion/random.ts';
import { smoothTrace } from '../../../shared-lib/motion/smoother.ts';
import { spansOf, variancesOf } from '../../../shared-lib/motion/spans.ts';
import { median, robustSigma } from '../../../shared-lib/motion/statistics.ts';
import { losing, noisy, rms, traceOf } from './traces.ts';

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

describe('noiseScale', () => {
  const scaleOf = (sigmaM: number, rho: number) => {
    const trace = noisy(
      traceOf(() => 0, 2400, 60),
      sigmaM,
      rho,
      seededRandom(21),
    );
    return smoothTrace(trace, { cutoffHz: 6 });
  };

  it('finds how far white noise is from what was stated, within 10 %', () => {
    for (const factor of [0.3, 1, 3]) {
      const { scatter, inBand } = scaleOf(0.001 * factor, 0).noiseScale.y;
      expect(Math.abs(scatter / factor - 1)).toBeLessThan(0.1);
      expect(Math.abs(inBand / factor - 1)).toBeLessThan(0.2);
    }
  });

  it('finds the level in the pass band of noise that lasts', () => {
    const { noiseScale: scale, frame } = scaleOf(0.001, 0.5);
    // The density at low frequencies is (1 + rho) / (1 - rho) = 3 times that of white noise.
    expect(scale.y.rho).toBeGreaterThan(0.3);
    expect(scale.y.inBand / Math.sqrt(3)).toBeGreaterThan(0.8);
    expect(scale.y.inBand / Math.sqrt(3)).toBeLessThan(1.25);
    expect(rms(frame.yM)).toBeLessThan(1.2 * median(frame.syM));
  });

  it('believes what is stated where too little is left to tell', () => {
    expect(noiseScale(Float64Array.of(1, 2, 3), 0.1).inBand).toBe(1);
    expect(noiseScale(new Float64Array(100).fill(5), 0.6).inBand).toBe(1);
  });
});

describe('spans', () => {
  const trace = traceOf(() => 0, 120, 60);

  it('bridge what is lost for up to 0.5 s and end where more is', () => {
    expect(spansOf(trace)).toEqual([[0, 120]]);
    expect(spansOf(losing(trace, 50, 70))).toEqual([[0, 120]]);
    expect(spansOf(losing(trace, 50, 85))).toEqual([
      [0, 50],
      [85, 120],
    ]);
    expect(spansOf(losing(trace, 0, 30))).toEqual([[30, 120]]);
    expect(spansOf(losing(losing(trace, 3, 60), 63, 120))).toEqual([]);
  });

  it('give lost samples no say and n bridged samples the say of one', () => {
    const bridged = {
      ...losing(trace, 10, 12),
      state: trace.state.map((_, i) => (i < 5 ? 1 : i < 12 && i > 9 ? 2 : 0)),
    };
    const variances = variancesOf(bridged, bridged.syM, 0, 20);
    expect([...variances.slice(0, 6)].map((v) => Math.round(v * 1e7))).toEqual([50, 50, 50, 50, 50, 10]);
    expect([...variances.slice(10, 12)]).toEqual([Infinity, Infinity]);
    expect(variances[12]).toBeCloseTo(1e-6, 12);
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

  it("estimate a normal's sigma in spite of gross errors", () => {
    const random = seededRandom(31);
    const values = Array.from({ length: 4000 }, (_, i) => (i % 10 === 0 ? 1000 : 2 * random.normal()));
    // A tenth of gross errors raises it by 13 %.
    expect(robustSigma(values)).toBeGreaterThan(2);
    expect(robustSigma(values)).toBeLessThan(2.4);
  });
});
