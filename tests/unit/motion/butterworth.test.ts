import { describe, expect, it } from 'vitest';
import { filterForwardBackward, lowPass } from '../../../shared-lib/motion/butterworth.ts';
import { cutoffBounds, cutoffByResiduals } from '../../../shared-lib/motion/residual-analysis.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import scipy from '../../reference/motion-scipy.json' with { type: 'json' };

describe('lowPass', () => {
  it.each([
    // Winter, Biomechanics and Motor Control of Human Movement; recomputed, the first his textbook example.
    [60, 6, 0.0674552739, 0.1349105478, 1.1429805025, -0.4128015981],
    [50, 6, 0.0913149004, 0.1826298009, 0.9824057931, -0.3476653949],
    [30, 6, 0.2065720838, 0.4131441677, 0.3695273774, -0.1958157127],
    [120, 6, 0.0200833656, 0.0401667311, 1.5610180758, -0.6413515381],
  ])('has the coefficients of one pass at %d Hz, cut-off %d Hz', (rate, cutoff, a0, a1, b1, b2) => {
    const c = lowPass(rate, cutoff);
    expect(c.a0).toBeCloseTo(a0, 9);
    expect(c.a1).toBeCloseTo(a1, 9);
    expect(c.a2).toBe(c.a0);
    expect(c.b1).toBeCloseTo(b1, 9);
    expect(c.b2).toBeCloseTo(b2, 9);
    expect(c.a0 + c.a1 + c.a2 + c.b1 + c.b2).toBeCloseTo(1, 12);
  });

  it.each([
    // The same for two passes, computed with the factor rounded to .802 where the code has (sqrt2 - 1)^(1/4).
    [60, 6, 0.0944891814, 0.962375286, -0.3403320115],
    [30, 6, 0.2645786454, 0.1156225333, -0.173937115],
    [120, 6, 0.0295845838, 1.4579481553, -0.5762864905],
  ])('corrects the cut-off for two passes at %d Hz, cut-off %d Hz', (rate, cutoff, a0, b1, b2) => {
    const c = lowPass(rate, cutoff, 2);
    expect(Math.abs(c.a0 - a0)).toBeLessThan(2e-4);
    expect(Math.abs(c.b1 - b1)).toBeLessThan(6e-4);
    expect(Math.abs(c.b2 - b2)).toBeLessThan(3e-4);
  });

  it("has SciPy's coefficients for two passes", () => {
    for (const { rateHz, cutoffHz, b, a } of scipy.secondOrder) {
      const c = lowPass(rateHz, cutoffHz, 2);
      [c.a0, c.a1, c.a2].forEach((v, i) => expect(v).toBeCloseTo(b[i], 10));
      expect(-c.b1).toBeCloseTo(a[1], 10);
      expect(-c.b2).toBeCloseTo(a[2], 10);
    }
  });

  it('refuses a cut-off at or above half the sampling rate', () => {
    expect(() => lowPass(30, 15)).toThrow(RangeError);
    expect(() => lowPass(30, 0)).toThrow(RangeError);
  });
});

const signal = (t: number): number =>
  Math.sin(2 * Math.PI * t) + 0.3 * Math.sin(8 * Math.PI * t) + 0.1 * Math.cos(18 * Math.PI * t);

describe('filterForwardBackward', () => {
  it("gives what SciPy's filtfilt gives, ends included", () => {
    for (const { rateHz, n, cutoffHz, y } of scipy.secondOrder) {
      const own = filterForwardBackward(
        Float64Array.from({ length: n }, (_, i) => signal(i / rateHz)),
        rateHz,
        cutoffHz,
      );
      own.forEach((v, i) => expect(Math.abs(v - y[i])).toBeLessThan(1e-9));
    }
  });

  it('lets .7071 of a sine at the cut-off through, not .7229 nor .5', () => {
    // Two passes at 60 Hz, cut-off 6 Hz; gains at other frequencies recomputed from Winter's formulas.
    for (const [f, gain] of [
      [6, 0.7071],
      [3, 0.9771],
      [1, 0.9997],
      [12, 0.0881],
    ]) {
      const n = 1200;
      const out = filterForwardBackward(
        Float64Array.from({ length: n }, (_, i) => Math.sin((2 * Math.PI * f * i) / 60 + 0.3)),
        60,
        6,
      );
      let inPhase = 0;
      let quadrature = 0;
      for (let i = 300; i < 900; i++) {
        inPhase += (out[i] * Math.sin((2 * Math.PI * f * i) / 60 + 0.3)) / 300;
        quadrature += (out[i] * Math.cos((2 * Math.PI * f * i) / 60 + 0.3)) / 300;
      }
      expect(Math.abs(inPhase - gain)).toBeLessThan(0.0005);
      // No lag.
      expect(Math.abs(quadrature)).toBeLessThan(1e-6);
    }
  });

  it('answers an impulse symmetrically and keeps a straight line', () => {
    const impulse = new Float64Array(201);
    impulse[100] = 1;
    const out = filterForwardBackward(impulse, 60, 6);
    for (let k = 1; k < 60; k++) expect(out[100 + k]).toBeCloseTo(out[100 - k], 12);
    const line = Float64Array.from({ length: 90 }, (_, i) => 2 - 0.01 * i);
    // The last pass begins in the steady state of a constant, so a slope leaves a trace at the ends.
    filterForwardBackward(line, 60, 6).forEach((v, i) => expect(Math.abs(v - line[i])).toBeLessThan(1e-4));
  });

  it('returns signals too short to filter', () => {
    expect([...filterForwardBackward(new Float64Array(0), 60, 6)]).toEqual([]);
    expect([...filterForwardBackward(Float64Array.of(1, 2), 60, 6)]).toEqual([1, 2]);
  });
});

describe('cutoffByResiduals', () => {
  const sampled = (f: (t: number) => number, n: number, rate: number): Float64Array =>
    Float64Array.from({ length: n }, (_, i) => f(i / rate));

  it('stays within its bounds, whatever the signal', () => {
    const random = seededRandom(3);
    const white = sampled(() => random.normal(), 600, 60);
    const smooth = sampled((t) => Math.sin(t), 600, 60);
    for (const s of [white, smooth, new Float64Array(600)]) {
      const hz = cutoffByResiduals(s, 60);
      expect(hz).toBeGreaterThanOrEqual(cutoffBounds.leastHz);
      expect(hz).toBeLessThanOrEqual(cutoffBounds.mostHz);
    }
    expect(cutoffBounds).toEqual({ leastHz: 4, mostHz: 10 });
  });

  it('is higher for a signal with more in it, and lies above what it has to keep', () => {
    const at = (hz: number): number => {
      const random = seededRandom(4);
      return cutoffByResiduals(
        sampled(
          (t) =>
            0.2 * Math.sin(2 * Math.PI * 0.5 * t) +
            0.02 * Math.sin(2 * Math.PI * hz * t) +
            0.001 * random.normal(),
          900,
          60,
        ),
        60,
      );
    };
    expect(at(2)).toBeLessThan(at(6));
    expect(at(6)).toBeGreaterThan(6);
  });
});
