import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type MeasureName, measureNames } from '../../../shared-lib/contract/measures.ts';
import type { Motion } from '../../../shared-lib/contract/motion.ts';
import { bench, type Read, readOne } from './lifts.ts';

const presses = fc
  .record({
    descentS: fc.double({ min: 0.9, max: 3, noNaN: true }),
    pauseS: fc.double({ min: 0.3, max: 1.5, noNaN: true }),
    driveS: fc.double({ min: 0.9, max: 4, noNaN: true }),
    depthM: fc.double({ min: 0.22, max: 0.5, noNaN: true }),
    touchM: fc.double({ min: -0.1, max: 0.1, noNaN: true }),
    endM: fc.double({ min: -0.05, max: 0.05, noNaN: true }),
  })
  .map((p) =>
    bench({ s: p.descentS, x: p.touchM, y: -p.depthM }, { s: p.pauseS }, { s: p.driveS, x: p.endM, y: 0 }),
  );

const shifted = (m: Motion, dx: number, dy: number, dt: number): Motion => ({
  ...m,
  t0S: m.t0S + dt,
  xM: m.xM.map((x) => x + dx),
  yM: m.yM.map((y) => y + dy),
});

const mirrored = (m: Motion): Motion => ({ ...m, xM: m.xM.map((x) => -x), vxMps: m.vxMps.map((v) => -v) });

/** A minimum-jerk drive is equally slow at a tenth and at nine tenths: either may come out. */
const folded = (name: MeasureName, value: number | null): number | null =>
  name === 'slowest_height_pct' && value !== null ? Math.abs(value - 50) : value;

/** Everything in the read that two motions must share, to `digits`. */
function expectSame(a: Read, b: Read, digits: number): void {
  for (const name of measureNames) {
    const [p, q] = [folded(name, a.values[name]), folded(name, b.values[name])];
    if (p === null || q === null) expect([name, p]).toEqual([name, q]);
    else expect(Math.abs(p - q), name).toBeLessThan(10 ** -digits);
  }
}

const runs = { numRuns: 40 };

describe('measures of a rep', () => {
  it('do not depend on where the bar is, nor on when', () => {
    const offset = fc.double({ min: -3, max: 3, noNaN: true });
    fc.assert(
      fc.property(presses, offset, offset, fc.double({ min: 0, max: 500, noNaN: true }), (m, dx, dy, dt) => {
        const a = readOne(m, 'bench');
        const b = readOne(shifted(m, dx, dy, dt), 'bench');
        expectSame(a, b, 6);
        expect(b.events.startS - a.events.startS).toBeCloseTo(dt, 6);
        expect(b.events.lockoutS! - a.events.lockoutS!).toBeCloseTo(dt, 6);
      }),
      runs,
    );
  });

  it('keep the vertical and turn the horizontal round in a mirror', () => {
    fc.assert(
      fc.property(presses, (m) => {
        const a = readOne(m, 'bench');
        const b = readOne(mirrored(m), 'bench');
        expect(b.events).toEqual(a.events);
        const { drift_max_m: max, drift_min_m: min, first_angle_rad: angle } = a.values;
        const turned: Read = {
          events: a.events,
          values: {
            ...a.values,
            drift_bottom_m: -a.values.drift_bottom_m!,
            drift_lockout_m: -a.values.drift_lockout_m!,
            drift_max_m: -min!,
            drift_min_m: -max!,
            bow_m: -a.values.bow_m!,
            first_angle_rad: angle === null ? null : Math.PI - angle,
          },
        };
        expectSame(b, turned, 9);
      }),
      runs,
    );
  });

  it('scale with time: half as fast where everything takes twice as long', () => {
    // Peaks alone: the still speed does not scale, so a slower descent creeps farther before its start counts.
    fc.assert(
      fc.property(presses, (m) => {
        const slow: Motion = {
          ...m,
          dtS: 2 * m.dtS,
          vxMps: m.vxMps.map((v) => v / 2),
          vyMps: m.vyMps.map((v) => v / 2),
        };
        const a = readOne(m, 'bench').values;
        const b = readOne(slow, 'bench').values;
        expect(b.peak_drive_mps! * 2).toBeCloseTo(a.peak_drive_mps!, 6);
        expect(b.peak_descent_mps! * 2).toBeCloseTo(a.peak_descent_mps!, 6);
      }),
      runs,
    );
  });

  it('scale with length: distances as much as the motion, ratios not at all', () => {
    fc.assert(
      fc.property(presses, (m) => {
        const k = 1.02;
        const larger: Motion = {
          ...m,
          xM: m.xM.map((x) => k * x),
          yM: m.yM.map((y) => k * y),
          vxMps: m.vxMps.map((v) => k * v),
          vyMps: m.vyMps.map((v) => k * v),
        };
        const a = readOne(m, 'bench').values;
        const b = readOne(larger, 'bench').values;
        for (const name of ['rom_m', 'depth_m', 'peak_drive_mps', 'peak_descent_mps'] as const)
          // The still speed does not grow with it, so that the bar starts a few milliseconds away.
          expect(Math.abs(b[name]! / a[name]! - k), name).toBeLessThan(0.001);
        expect(b.first_angle_rad!).toBeCloseTo(a.first_angle_rad!, 2);
      }),
      runs,
    );
  });
});
