import { describe, expect, it } from 'vitest';
import { spreadOf, withSpread } from '../../../shared-lib/band/spread.ts';
import type { UsualReps } from '../../../shared-lib/contract/band.ts';
import type { MeasureName } from '../../../shared-lib/contract/measures.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import { callOf, type Interval } from '../../../shared-lib/pair/calls.ts';
import { comparePair } from '../../../shared-lib/pair/changes.ts';
import { errors } from './clips.ts';
import { clipOf, film, reps, type Rep } from './simulate.ts';
import { filming } from './trials.ts';

const usual = (name: MeasureName, values: number[], days = 2, todayClip = 'today'): UsualReps => ({
  todayClip,
  reps: values.map((value, i) => ({
    clip: `clip ${i % days}`,
    rep: 1 + Math.floor(i / days),
    day: `2026-11-0${1 + (i % days)}`,
    measures: { [name]: { value, lo95: value - 0.002, hi95: value + 0.002, u95: 0.002, unit: 'm' } },
  })),
});

describe('the lifter’s spread in a comparison', () => {
  // t(0.975, 4 degrees of freedom) = 2.776445 as every printed table has it; the values' standard deviation is √2.5.
  it('is t s √2, and thin below five reps or from one day', () => {
    const five = [1, 2, 3, 4, 5];
    expect(spreadOf('depth_m', usual('depth_m', five), 1)!.halfWidth).toBeCloseTo(2.776445 * Math.sqrt(5), 5);
    expect(spreadOf('depth_m', usual('depth_m', five), 1)!.thin).toBe(false);
    expect(spreadOf('depth_m', usual('depth_m', five.slice(1)), 1)!.thin).toBe(true);
    expect(spreadOf('depth_m', usual('depth_m', five, 1), 1)!.thin).toBe(true);
    expect(spreadOf('depth_m', usual('depth_m', five, 1, 'clip 0'), 1)!.thin).toBe(false);
    expect(spreadOf('depth_m', usual('depth_m', [1, 2]), 1)).toBeNull();
    expect(spreadOf('bow_m', usual('depth_m', five), 1)).toBeNull();
  });

  it('widens each side of the measured interval in squares', () => {
    const [lo, hi] = withSpread(10, [7, 22], { halfWidth: 4, thin: false });
    expect(lo).toBeCloseTo(5, 12);
    expect(hi).toBeCloseTo(10 + Math.hypot(12, 4), 12);
  });

  it('calls at most one in twenty unchanged pairs changed, even against the lifter’s most extreme rep', () => {
    const random = seededRandom(11);
    const trials = 4000;
    const measures = 6;
    const wrong = [0, 0];
    for (let k = 0; k < trials; k++) {
      const changed = [false, false];
      for (let m = 0; m < measures; m++) {
        const values = Array.from({ length: 6 }, () => random.normal());
        const spread = spreadOf('depth_m', usual('depth_m', values), measures)!;
        const today = random.normal();
        [values[0], Math.max(...values)].forEach((reference, i) => {
          const change = today - reference;
          const d: Interval = [change - 0.01, change + 0.01];
          const l = withSpread(change, d, spread);
          if (callOf({ change, d, l, thin: false, delta: 0.02, ruledOut: false }) === 'changed')
            changed[i] = true;
        });
      }
      changed.forEach((is, i) => (wrong[i] += is ? 1 : 0));
    }
    // One standard error is 0.35 %.
    expect(wrong[0] / trials).toBeLessThan(0.05);
    expect(wrong[1] / trials).toBeLessThan(0.05);
  });

  it('tells a lifter who has changed from two reps that differ, through the whole comparison', () => {
    const exact = errors({ cameraDistanceM: 3 });
    const clip = (rep: Rep, seed: number) =>
      clipOf(rep.lift, film(rep, exact, filming, seededRandom(seed)), filming);
    const reference = clip(reps.squat, 1);
    const deeper = clip({ ...reps.squat, depthM: reps.squat.depthM + 0.06 }, 2);
    const call = (of: UsualReps | undefined) => {
      const options = { draws: 60, sameCamera: true, ...(of ? { usual: of } : {}) };
      return comparePair(reference, deeper, options).changes.find((c) => c.name === 'depth_m')!;
    };
    const steady = [0.6, 0.604, 0.597, 0.601, 0.599, 0.602];
    const loose = [0.6, 0.64, 0.56, 0.62, 0.58, 0.61];
    expect(call(undefined).call).toBe('differs');
    expect(call(usual('depth_m', steady)).call).toBe('changed');
    expect(call(usual('depth_m', steady.slice(0, 4)))).toMatchObject({
      call: 'differs',
      why: expect.stringContaining('too few') as string,
    });
    expect(call(usual('depth_m', loose))).toMatchObject({
      call: 'differs',
      why: expect.stringContaining('ordinary reps of this lifter differ as much') as string,
    });
  });
});
