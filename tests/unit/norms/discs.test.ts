import { describe, expect, it } from 'vitest';
import { barNorms } from '../../../shared-lib/norms/bars.ts';
import { discBySaying, discNorms, usualDiscDiameterM } from '../../../shared-lib/norms/discs.ts';

describe('disc norms', () => {
  it('give the weightlifting disc 450 mm ± 1 mm, rectangular: relative 0.128 %', () => {
    const { diameterM, sigmaM } = discNorms.weightlifting;
    expect(diameterM).toBe(0.45);
    expect(sigmaM).toBeCloseTo(0.000577, 6);
    expect(sigmaM / diameterM).toBeCloseTo(0.00128, 5);
  });

  it('are wider where the rules give a maximum only, and widest where nobody measured', () => {
    const relative = (kind: keyof typeof discNorms) => discNorms[kind].sigmaM / discNorms[kind].diameterM;
    expect(relative('powerlifting')).toBeGreaterThan(relative('weightlifting'));
    expect(relative('gym')).toBeGreaterThan(relative('powerlifting'));
    expect(discNorms.gym.diameterM).toBe(0.445);
  });

  it('keep a powerlifting disc at or below the 450 mm that the rules allow', () => {
    const { diameterM, sigmaM } = discNorms.powerlifting;
    expect(diameterM + Math.sqrt(3) * sigmaM).toBeCloseTo(0.45, 12);
  });

  it('refuse to assume 450 mm for weightlifting discs below 10 kg', () => {
    expect(discBySaying('weightlifting', 10)?.diameterM).toBe(0.45);
    expect(discBySaying('weightlifting', 5)).toBeNull();
    expect(discBySaying('powerlifting', 15)).toBeNull();
  });

  it('list usual diameters that never grow as mass falls', () => {
    for (const list of Object.values(usualDiscDiameterM)) {
      for (let i = 1; i < list.length; i++) expect(list[i][1]).toBeLessThanOrEqual(list[i - 1][1]);
    }
  });
});

describe('bar norms', () => {
  it("fit a men's bar of 2.2 m: two 415 mm sleeves and 1310 mm between them leave 30 mm a side", () => {
    const bar = barNorms.weightliftingMen;
    expect(bar.lengthM[1] - (2 * 0.415 + bar.betweenSleevesM[1])).toBeCloseTo(0.06, 12);
    expect(bar.sleeveDiameterM[1]).toBe(0.05);
    expect(barNorms.weightliftingWomen.lengthM[1]).toBe(2.01);
  });
});
