import { describe, expect, it } from 'vitest';
import { measureNames, type MeasureName, type MeasureValues } from '../../../shared-lib/contract/measures.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import { summarize } from '../../../shared-lib/pair/monte-carlo.ts';
import { noiseTakenBack } from '../../../shared-lib/pair/noise-taken-back.ts';

const only = (name: MeasureName, value: number | null): MeasureValues =>
  ({ ...Object.fromEntries(measureNames.map((n) => [n, null])), [name]: value }) as MeasureValues;
const taken = (name: MeasureName, before: number | null, after: number | null): number | null =>
  noiseTakenBack(only(name, before), only(name, after))[name];

describe('taking noise back', () => {
  it('puts a value as far on the other side', () => {
    expect(taken('peak_drive_mps', 0.8, 0.83)).toBeCloseTo(0.77, 12);
    expect(taken('drift_lockout_m', -0.01, -0.013)).toBeCloseTo(-0.007, 12);
  });

  it('takes from ranges of a bar that hardly moves in squares, and never below nothing', () => {
    expect(taken('sag_m', 0.004, 0.005)).toBeCloseTo(Math.sqrt(2 * 16 - 25) / 1000, 12);
    expect(taken('sag_m', 0.003, 0.005)).toBe(0);
  });

  it('leaves counts and places of extremes as the noise has them', () => {
    expect(taken('hesitations', 0, 1)).toBe(1);
    expect(taken('slowest_height_pct', 40, 70)).toBe(70);
  });

  it('has nothing to say where either is missing', () => {
    expect(taken('sticking_mps', null, 0.2)).toBeNull();
    expect(taken('sticking_mps', 0.2, null)).toBeNull();
  });

  /**
   * The greatest of twenty noisy readings of one true value lies 1.87 sigmas too high (the expectation of the greatest of
   * twenty standard normal values), and the greatest of its readings measured again as much higher still.
   */
  it('makes the interval of an extreme hold the truth that percentiles of remeasured ones miss', () => {
    const random = seededRandom(9);
    const truth = 0.8;
    const greatest = (of: number[]): number => Math.max(...of.map((v) => v + 0.01 * random.normal()));
    let held = 0;
    let heldByPercentiles = 0;
    const trials = 400;
    for (let k = 0; k < trials; k++) {
      const flat = new Array<number>(20).fill(truth);
      const before = greatest(flat);
      const again = Array.from({ length: 199 }, () => greatest(new Array<number>(20).fill(before)));
      const inside = (values: number[]): boolean => {
        const { lo95, hi95 } = summarize(Float64Array.from(values))!;
        return lo95 <= truth && truth <= hi95;
      };
      if (inside(again.map((after) => taken('peak_drive_mps', before, after)!))) held++;
      if (inside(again)) heldByPercentiles++;
    }
    // One standard error is 1.1 %.
    expect(held / trials).toBeGreaterThan(0.92);
    expect(held / trials).toBeLessThan(0.98);
    expect(heldByPercentiles / trials).toBeLessThan(0.1);
  });
});
