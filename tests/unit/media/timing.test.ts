import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { summariseTiming } from '../../../shared-lib/motion/timing.ts';

describe('the timing of a clip', () => {
  it('even frames have an unevenness of 1', () => {
    const ptsS = Array.from({ length: 61 }, (_, i) => 2 + i / 60);
    const timing = summariseTiming(ptsS, 61, 4);
    expect(timing).toMatchObject({
      decodedFrames: 61,
      partial: false,
      firstPtsS: 2,
      lastPtsS: 3,
      duplicatedFrames: 4,
    });
    expect(timing.medianIntervalS).toBeCloseTo(1 / 60, 12);
    expect(timing.unevenness).toBeCloseTo(1, 9);
  });

  it('the 95th percentile of the intervals is taken over their median', () => {
    // Nineteen intervals of 10 ms, one of 30 ms: linear between the 19th and the 20th, at 18.05.
    const ptsS = [0, ...Array.from({ length: 20 }, (_, i) => (i + 1) * 0.01 + (i === 19 ? 0.02 : 0))];
    expect(summariseTiming(ptsS, null).unevenness).toBeCloseTo((0.01 + 0.05 * 0.02) / 0.01, 9);
  });

  it('frames are missed only against a declared count', () => {
    expect(summariseTiming([0, 1, 2], 4).partial).toBe(true);
    expect(summariseTiming([0, 1, 2], 3).partial).toBe(false);
    expect(summariseTiming([0, 1, 2], 2).partial).toBe(false);
    expect(summariseTiming([0, 1, 2], null).partial).toBe(false);
  });

  it('does not depend on where the clip starts, and scales with time', () => {
    const steps = fc.array(fc.double({ min: 0.001, max: 0.1, noNaN: true }), { minLength: 2, maxLength: 50 });
    fc.assert(
      fc.property(steps, fc.double({ min: 0, max: 100, noNaN: true }), (intervals, startS) => {
        let t = 0;
        const ptsS = [0, ...intervals.map((step) => (t += step))];
        const plain = summariseTiming(ptsS, null);
        const moved = summariseTiming(
          ptsS.map((p) => startS + 2 * p),
          null,
        );
        expect(moved.unevenness).toBeCloseTo(plain.unevenness, 6);
        expect(moved.medianIntervalS).toBeCloseTo(2 * plain.medianIntervalS, 9);
      }),
    );
  });

  it('needs two frames', () => {
    expect(() => summariseTiming([0], 1)).toThrow(RangeError);
  });
});
