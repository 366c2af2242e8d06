import { describe, expect, it } from 'vitest';
import { measureNames, type MeasureName, type MeasureValues } from '../../../shared-lib/contract/measures.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import { summarize } from '../../../shared-lib/pair/monte-carlo.ts';
import { noiseTakenBack, withMoments } from '../../../shared-lib/pair/noise-taken-back.ts';

const only = (name: MeasureName, value: number | null): MeasureValues =>
  ({ ...Object.fromEntries(measureNames.map((n) => [n, null])), [name]: value }) as MeasureValues;
const taken = (
  name: MeasureName,
  before: number | null,
  after: number | null,
  blunted = 0,
  share = 0,
  added: Partial<MeasureValues> = {},
): number | null =>
  noiseTakenBack(only(name, before), only(name, after), { blunting: only(name, blunted), share, added })[
    name
  ];

describe('taking noise back', () => {
  it('puts a value as far on the other side', () => {
    expect(taken('peak_drive_mps', 0.8, 0.83)).toBeCloseTo(0.77, 12);
    expect(taken('drift_lockout_m', -0.01, -0.013)).toBeCloseTo(-0.007, 12);
  });

  it('takes what smoothing did to corners as often as it is told to', () => {
    expect(taken('rom_m', 1.5, 1.503, 0.002, 0)).toBeCloseTo(1.497, 12);
    expect(taken('rom_m', 1.5, 1.503, 0.002, 2)).toBeCloseTo(1.493, 12);
  });

  it('leaves a duration where it was measured but for what is known, whatever measuring again does in the middle', () => {
    expect(taken('drive_s', 1.5, 1.512, 0.003, 2, { drive_s: 0.012 })).toBeCloseTo(1.497, 12);
    expect(taken('descent_s', 1.5, 1.49, 0, 0, { descent_s: -0.004 })).toBeCloseTo(1.506, 12);
  });

  it('takes off extremes once more what noise picked of many that are alike', () => {
    expect(taken('peak_drive_mps', 0.8, 0.83, 0, 0, { peak_drive_mps: 0.02 })).toBeCloseTo(0.756, 12);
    expect(taken('slowest_mps', 0.3, 0.29, 0, 0, { slowest_mps: -0.01 })).toBeCloseTo(0.317, 12);
  });

  it('takes from ranges of a bar that hardly moves in squares, and never below nothing', () => {
    expect(taken('fall_m', 0.004, 0.005)).toBeCloseTo(Math.sqrt(2 * 16 - 25) / 1000, 12);
    expect(taken('fall_m', 0.003, 0.005)).toBe(0);
  });

  it('leaves room for a sway that is greater than it was measured', () => {
    const random = seededRandom(2);
    const drawn = Array.from(
      { length: 2000 },
      () => withMoments(only('hold_sway_m', 0.004), { slowM: 0.0003, restS: 0 }, random).hold_sway_m!,
    );
    const { lo95, hi95 } = summarize(Float64Array.from(drawn))!;
    expect(hi95 - 0.004).toBeCloseTo(0.8 * 1.96 * 0.0003, 4);
    expect(0.004 - lo95).toBeCloseTo(0.8 * 1.96 * 0.0003, 4);
    expect(withMoments(only('drive_s', 1), { slowM: 0.0003, restS: 0 }, random).drive_s).toBe(1);
    const rest = Array.from(
      { length: 2000 },
      () => withMoments(only('drive_s', 1), { slowM: 0, restS: 0.004 }, random).drive_s!,
    );
    const drive = summarize(Float64Array.from(rest))!;
    expect((drive.hi95 - drive.lo95) / 2).toBeCloseTo(1.96 * Math.SQRT2 * 0.004, 3);
    // That is all of it: measured again, a sway only grows.
    expect(taken('hold_sway_m', 0.004, 0.005)).toBe(0.004);
  });

  it('lets mean speeds go with their times, whose way stays, and doubts the end of a descent only where the bar rests there', () => {
    const random = seededRandom(3);
    const rep = { ...only('drive_s', 1.2), mean_drive_mps: 0.4, descent_s: 1.5, mean_descent_mps: 0.32 };
    const widths = (pauseS: number | null): number[] => {
      const drawn = Array.from({ length: 2000 }, () =>
        withMoments({ ...rep, pause_s: pauseS }, { slowM: 0, restS: 0.005 }, random),
      );
      for (const d of drawn) {
        expect(d.mean_drive_mps! * d.drive_s!).toBeCloseTo(0.48, 9);
        expect(d.mean_descent_mps! * d.descent_s!).toBeCloseTo(0.48, 9);
      }
      return (['drive_s', 'descent_s'] as const).map((name) => {
        const { lo95, hi95 } = summarize(Float64Array.from(drawn.map((d) => d[name]!)))!;
        return (hi95 - lo95) / 2 / (1.96 * 0.005);
      });
    };
    const [turned, paused] = [widths(null), widths(0.8)];
    for (const drive of [turned[0], paused[0]]) expect(drive).toBeCloseTo(Math.SQRT2, 1);
    expect(turned[1]).toBeCloseTo(1, 1);
    expect(paused[1]).toBeCloseTo(Math.SQRT2, 1);
  });

  it('takes half of what measuring again does to a settling', () => {
    expect(taken('settle_s', 0.5, 0.52, 0.005, 0, { settle_s: 0.001 })).toBeCloseTo(0.486, 12);
  });

  it('leaves counts as the noise has them', () => {
    expect(taken('hesitations', 0, 1)).toBe(1);
  });

  it('lets places of extremes jump to where the noise has them, less far than it makes them jump again', () => {
    expect(taken('slowest_height_pct', 40, 70)).toBeCloseTo(62.5, 9);
    expect(taken('sticking_s', 0.4, 0.5)).toBeCloseTo(0.465, 9);
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

/**
 * Smoothing takes the integral of (1 - G) / f^k off a corner whose spectrum falls as f^-k, and smoothing again that of
 * G (1 - G) / f^k: three to one for a step of the acceleration (k = 3), two to one for a step of the jerk (k = 4).
 */
it('finds the shares of blunting that smoothing again does not show', () => {
  const ratio = (k: number): number => {
    let [first, again] = [0, 0];
    for (let u = 0.0005; u < 60; u += 0.001) {
      const gain = 1 / (1 + u ** 6);
      first += (1 - gain) / u ** k;
      again += (gain * (1 - gain)) / u ** k;
    }
    return first / again;
  };
  expect(ratio(3)).toBeCloseTo(3, 2);
  expect(ratio(4)).toBeCloseTo(2, 2);
});
