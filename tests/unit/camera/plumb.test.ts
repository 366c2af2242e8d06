import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { discByRule, discMeasured, discUnmeasured } from '../../../shared-lib/camera/disc-size.ts';
import { assumedUp, rollFromPlumb } from '../../../shared-lib/camera/plumb.ts';

const deg = 180 / Math.PI;

describe('rollFromPlumb', () => {
  it('is the lean of the line, to the right positive, whichever end comes first', () => {
    fc.assert(
      fc.property(fc.double({ min: -29, max: 29, noNaN: true }), fc.boolean(), (leanDeg, upFirst) => {
        const top = [500 + 300 * Math.sin(leanDeg / deg), 600 - 300 * Math.cos(leanDeg / deg)] as const;
        const line = upFirst ? ([...top, 500, 600] as const) : ([500, 600, ...top] as const);
        expect(rollFromPlumb(line, 'user').rollRad * deg).toBeCloseTo(leanDeg, 9);
      }),
    );
  });

  it("knows up to a degree without a line, 0.4 with a proposed one, 0.2 with the user's, and less surely from a short one", () => {
    const long = [100, 100, 100, 10_000] as const;
    expect(assumedUp.rollSigmaRad * deg).toBeCloseTo(1, 9);
    expect(rollFromPlumb(long, 'proposed').rollSigmaRad * deg).toBeCloseTo(0.4, 3);
    expect(rollFromPlumb(long, 'user').rollSigmaRad * deg).toBeCloseTo(0.2, 3);
    // Two points of 1 px each, 100 px apart: .0141 rad = .81 degrees, with .2 in quadrature .8346.
    expect(rollFromPlumb([100, 100, 100, 200], 'user').rollSigmaRad * deg).toBeCloseTo(0.8346, 4);
  });

  it('refuses a line that is too short or nowhere near upright', () => {
    expect(() => rollFromPlumb([10, 10, 10, 10], 'user')).toThrow(/0 px long/);
    expect(() => rollFromPlumb([10, 10, 500, 20], 'user')).toThrow(/leans 89 degrees/);
    expect(() => rollFromPlumb([10, NaN, 500, 20], 'user')).toThrow(/too short/);
  });
});

describe('disc sizes', () => {
  it('follow what the user says the disc is', () => {
    // Limits of 1 mm, rectangular: .577 mm, .128 % (JCGM 100:2008, 4.3.7).
    expect(discByRule.discSigmaM * 1000).toBeCloseTo(0.577, 3);
    expect(discByRule.discSigmaM / discByRule.discM).toBeCloseTo(0.00128, 5);
    expect(discMeasured(448)).toEqual({ discM: 0.448, discSigmaM: 0.002 / Math.sqrt(3) });
    // sqrt(5² + 8²/3) = 6.81 mm.
    expect(discUnmeasured.discM).toBe(0.45);
    expect(discUnmeasured.discSigmaM * 1000).toBeCloseTo(6.81, 2);
    expect(() => discMeasured(45)).toThrow(/No disc is 45 mm/);
    expect(() => discMeasured(NaN)).toThrow(/No disc/);
  });
});
