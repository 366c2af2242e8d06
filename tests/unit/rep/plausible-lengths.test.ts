import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { meanDriveMps, rangeOfRepM } from '../../../shared-lib/norms/lifters.ts';
import { lengthsQuestion, wrongRulerShare } from '../../../shared-lib/rep/plausible-lengths.ts';

const rep = (rom_m: number, mean_drive_mps: number | null = 0.3) => ({ rom_m, mean_drive_mps });
const lifts = ['squat', 'bench', 'deadlift'] as const;

describe('limits that bodies set', () => {
  it('are what the lengths of limbs give', () => {
    expect(rangeOfRepM.bench.most).toBeCloseTo(0.711, 3);
    expect(rangeOfRepM.squat.least).toBeCloseTo(0.1715, 4);
    expect(rangeOfRepM.squat.most).toBeCloseTo(1.29, 2);
    expect(rangeOfRepM.deadlift.most).toBeCloseTo(0.823, 3);
  });
});

describe('wrongRulerShare', () => {
  it('is a hundredth in the middle, some third at the limits, and grows beyond them', () => {
    for (const limits of [...Object.values(rangeOfRepM), meanDriveMps]) {
      expect(wrongRulerShare(Math.sqrt(limits.least * limits.most), limits)).toBeLessThan(0.025);
      expect(wrongRulerShare(limits.most, limits)).toBeCloseTo(wrongRulerShare(limits.least, limits), 9);
      expect(wrongRulerShare(limits.most, limits)).toBeGreaterThan(0.2);
      expect(wrongRulerShare(limits.most, limits)).toBeLessThan(0.55);
      expect(wrongRulerShare(1.5 * limits.most, limits)).toBeGreaterThan(0.7);
    }
  });
});

describe('lengthsQuestion', () => {
  it('asks about a bench press that comes out 5.7 times too long, and says so', () => {
    const question = lengthsQuestion('bench', [rep(5.7 * 0.44, 5.7 * 0.3)])!;
    expect(question.said).toContain('rises by 251 cm here, farther than in any lifter’s bench press');
    expect(question.advice).toContain('point at the disc or draw its rim');
  });

  it('asks about whole reps that are too short for any body, and not about ones that were not completed', () => {
    expect(lengthsQuestion('squat', [rep(0.11)])!.said).toContain('less than in any lifter’s squat');
    expect(lengthsQuestion('squat', [rep(0.11, null)])).toBeNull();
    expect(lengthsQuestion('deadlift', [rep(0.1, null), rep(0.5)])).toBeNull();
  });

  it('asks about time where lengths are as they should be and the velocity is not', () => {
    expect(lengthsQuestion('squat', [rep(0.6, 4)])!.said).toContain('4.00 m/s, faster');
    expect(lengthsQuestion('squat', [rep(0.6, 0.015)])!.advice).toContain('slowed down');
  });

  it('asks nothing of any lift of lifters from 1.45 to 2.05 m in shares of their height that lifters have', () => {
    const shareOf = { squat: [0.25, 0.5], bench: [0.12, 0.3], deadlift: [0.15, 0.34] } as const;
    fc.assert(
      fc.property(
        fc.constantFrom(...lifts),
        fc.double({ min: 1.45, max: 2.05, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.double({ min: 0.06, max: 1.3, noNaN: true }),
        (lift, heightM, at, vMps) => {
          const [least, most] = shareOf[lift];
          expect(lengthsQuestion(lift, [rep(heightM * (least + at * (most - least)), vMps)])).toBeNull();
        },
      ),
    );
  });

  it('asks about lengths three times too large, whatever the lift of a usual lifter', () => {
    const usualM = { squat: 0.64, bench: 0.44, deadlift: 0.56 };
    for (const lift of lifts) {
      expect(lengthsQuestion(lift, [rep(3 * usualM[lift])])).not.toBeNull();
      expect(lengthsQuestion(lift, [rep(usualM[lift])])).toBeNull();
    }
  });
});
