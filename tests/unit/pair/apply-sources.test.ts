import fc from 'fast-check';
import { afterAll, describe, expect, it } from 'vitest';
import type { Motion } from '../../../shared-lib/contract/motion.ts';
import type { RepEvents } from '../../../shared-lib/contract/rep.ts';
import { applySources, repGeometry, roomFor } from '../../../shared-lib/pair/apply-sources.ts';
import { errorSources, drawSources } from '../../../shared-lib/pair/sources.ts';
import { useDrawKernel } from '../../../shared-lib/motion/draw-kernel.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import { compiledKernels } from '../picture/compiled-kernels.ts';
import { calibration, errors, picture, timing } from './clips.ts';

const dtS = 1 / 240;
const n = 721;
/** Down 0.6 m and up again in 2 s with half a second of rest on both sides; x drifts forward on the way down. */
const height = (t: number) => {
  const s = Math.min(Math.max((t - 0.5) / 2, 0), 1);
  return -0.3 * (1 - Math.cos(2 * Math.PI * s));
};
const speed = (t: number) =>
  t < 0.5 || t > 2.5 ? 0 : -0.3 * Math.PI * Math.sin(2 * Math.PI * ((t - 0.5) / 2));
const at = (f: (t: number) => number) => Float64Array.from({ length: n }, (_, i) => f(i * dtS));
const motion: Motion = {
  t0S: 0,
  dtS,
  xM: at((t) => 1 - 0.2 * height(t)),
  yM: at((t) => 2 + height(t)),
  vxMps: at((t) => -0.2 * speed(t)),
  vyMps: at(speed),
};
const events: RepEvents = {
  startS: 0.5,
  touchS: null,
  bottomS: 1.5,
  pauseStartS: null,
  pauseEndS: null,
  driveStartS: 1.5,
  lockoutS: 2.5,
  earlierAttempts: 0,
  rebound: false,
  outcome: { kind: 'completed' },
};
const geometryOf = (c = calibration, p = picture) =>
  repGeometry({ calibration: c, picture: p }, motion, events);
const square = { ...calibration, offSquareRad: 0 };
const bottom = 360;
const quarter = 480;

/** Greatest distance between two series. */
const apart = (a: Float64Array, b: Float64Array) => Math.max(...a.map((v, i) => Math.abs(v - b[i])));

afterAll(() => useDrawKernel(null));

describe('applySources', () => {
  it('changes nothing where there is no error', () => {
    const same = applySources(motion, errors(), geometryOf());
    for (const key of ['xM', 'yM', 'vxMps', 'vyMps'] as const)
      expect(apart(same[key], motion[key])).toBeLessThan(1e-12);
  });

  it('scales lengths and velocities by disc, rim and lens together', () => {
    const out = applySources(
      motion,
      errors({ discDiameter: 0.01, rimScale: 0.02, lensScale: -0.01 }),
      geometryOf(),
    );
    const factor = 1.01 * 1.02 * 0.99;
    expect(out.yM[bottom] - out.yM[0]).toBeCloseTo(-0.6 * factor, 10);
    expect(out.xM[bottom] - out.xM[0]).toBeCloseTo(0.12 * factor, 10);
    expect(out.vyMps[quarter]).toBeCloseTo(motion.vyMps[quarter] * factor, 10);
  });

  it('makes 10 mm of drift out of 0.6 m with one degree of roll', () => {
    const still = { ...motion, xM: motion.xM.map(() => 1), vxMps: new Float64Array(n) };
    const out = applySources(still, errors({ rollRad: Math.PI / 180 }), geometryOf(square));
    expect(out.xM[bottom] - out.xM[0]).toBeCloseTo(0.6 * Math.sin(Math.PI / 180), 6);
    expect(Math.abs(out.xM[bottom] - out.xM[0])).toBeCloseTo(0.0105, 4);
  });

  it('stretches horizontal lengths by the ratio of the cosines when the angle off square is mistaken', () => {
    const angle = (deg: number) => (deg * Math.PI) / 180;
    const oblique = { ...calibration, offSquareRad: angle(20) };
    const out = applySources(motion, errors({ offSquareRad: angle(5) }), geometryOf(oblique));
    const stretch = Math.cos(angle(20)) / Math.cos(angle(25));
    expect(out.xM[bottom] - out.xM[0]).toBeCloseTo(0.12 * stretch, 10);
    expect(out.yM[bottom]).toBeCloseTo(motion.yM[bottom], 10);
  });

  it('leaks sideways travel into drift by the tangent of the angle off square', () => {
    const oblique = { ...calibration, offSquareRad: Math.PI / 6 };
    const far = errors({ sidewaysDepthM: 0.01, sidewaysTravelM: 0.02, cameraDistanceM: 1e9 });
    const out = applySources(motion, far, geometryOf(oblique));
    const leaked = out.xM.map((x, i) => x - motion.xM[i]);
    const tan = Math.tan(Math.PI / 6);
    expect(leaked[0]).toBeCloseTo(0, 10);
    // Half way in time the travel from start to lockout is half done.
    expect(leaked[bottom]).toBeCloseTo((0.01 + 0.01) * tan, 8);
    expect(leaked[n - 1]).toBeCloseTo(0.02 * tan, 8);
  });

  it('magnifies by 0.67 % when the disc comes 2 cm nearer at 3 m, about the lens axis', () => {
    const out = applySources(motion, errors({ sidewaysTravelM: 0.02 }), geometryOf(square));
    // The axis is level with the start: at lockout nothing has moved vertically, half way the disc is 1 cm nearer.
    expect(out.yM[n - 1]).toBeCloseTo(2, 10);
    expect(out.yM[bottom] - 2).toBeCloseTo(-0.6 * (1 + 0.01 / 3), 8);
    const high = applySources(
      motion,
      errors({ sidewaysTravelM: 0.02, axisHeightM: 0.3 }),
      geometryOf(square),
    );
    expect(high.yM[n - 1] - high.yM[0]).toBeCloseTo((-0.3 * 0.02) / 3, 8);
  });

  it('moves the centre by no more than the run-out, however the disc turns', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -0.003, max: 0.003, noNaN: true }),
        fc.double({ min: -Math.PI, max: Math.PI, noNaN: true }),
        fc.double({ min: -1, max: 1, noNaN: true }),
        (runOutM, runOutPhaseRad, runOutTurn) => {
          const out = applySources(
            motion,
            errors({ runOutM, runOutPhaseRad, runOutTurn }),
            geometryOf(square),
          );
          for (let i = 0; i < n; i += 24) {
            const moved = Math.hypot(out.xM[i] - motion.xM[i], out.yM[i] - motion.yM[i]);
            expect(moved).toBeCloseTo(Math.abs(runOutM), 10);
          }
        },
      ),
      { numRuns: 30 },
    );
  });

  it('takes back a read-out of 20 ms: a bar that rises in the picture read too slow by v T / H', () => {
    const out = applySources(motion, errors({ readOutS: 0.02 }), geometryOf(square));
    const peak = Math.max(...motion.vyMps);
    const pxPerS = peak / square.metresPerPx;
    const expected = peak / (1 - (pxPerS * 0.02) / picture.heightPx);
    expect(Math.max(...out.vyMps)).toBeCloseTo(expected, 4);
    expect(Math.min(...out.vyMps)).toBeCloseTo(-peak / (1 + (pxPerS * 0.02) / picture.heightPx), 4);
    // Heights stay; only their times move.
    expect(Math.min(...out.yM)).toBeCloseTo(1.4, 5);
  });

  it('recovers the truth from what a sensor that reads downward records', () => {
    const readOutS = 0.03;
    const lateS = (y: number) => (readOutS * -(y - 2)) / (picture.heightPx * square.metresPerPx);
    // The sample labelled t shows the bar where it is at t plus the read-out's delay at its own row.
    const recorded = at((t) => {
      let y = 2 + height(t);
      for (let k = 0; k < 30; k++) y = 2 + height(t + lateS(y));
      return y;
    });
    const slope = recorded.map(
      (_, i) => (recorded[Math.min(i + 1, n - 1)] - recorded[Math.max(i - 1, 0)]) / (2 * dtS),
    );
    const sensed = { ...motion, yM: recorded, vyMps: slope };
    const out = applySources(sensed, errors({ readOutS }), geometryOf(square));
    expect(apart(recorded, motion.yM)).toBeGreaterThan(0.003);
    expect(apart(out.yM.slice(12, -12), motion.yM.slice(12, -12))).toBeLessThan(3e-4);
  });

  it('reads a picture turned for display across, not down', () => {
    const turned = { ...picture, widthPx: 1080, heightPx: 1920, rotationDeg: 90 } as const;
    const g = geometryOf(square, turned);
    expect(g.readOutY === 0).toBe(true);
    // Turned clockwise, the sensor's first row is the right edge: forward (right) is read earlier.
    expect(g.readOutX).toBeCloseTo(-1 / (1080 * square.metresPerPx), 12);
    expect(geometryOf({ ...square, facing: 'left' }, turned).readOutX).toBeCloseTo(-g.readOutX, 12);
    expect(geometryOf(square, { ...turned, rotationDeg: 270 }).readOutX).toBeCloseTo(-g.readOutX, 12);
    expect(geometryOf(square, { ...picture, rotationDeg: 180 }).readOutY).toBeGreaterThan(0);
  });

  it('moves velocities with positions: each is the other’s slope under any draw', () => {
    const table = errorSources({ lift: 'squat', calibration, timing, picture });
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), (seed) => {
        const out = applySources(motion, drawSources(table, seededRandom(seed)), geometryOf());
        for (const [p, v] of [
          [out.xM, out.vxMps],
          [out.yM, out.vyMps],
        ]) {
          for (let i = 130; i < 590; i += 10) {
            expect(Math.abs((p[i + 1] - p[i - 1]) / (2 * dtS) - v[i])).toBeLessThan(0.002);
          }
        }
      }),
      { numRuns: 40 },
    );
  });

  it('comes out of compiled code as out of the plain code, to the bit, also where the bar is lost', async () => {
    const compiled = await compiledKernels();
    const table = errorSources({ lift: 'squat', calibration, timing, picture });
    const lost = (values: Float64Array) => values.map((v, i) => (i > 200 && i < 220 ? NaN : v));
    const { xM, yM, vxMps, vyMps } = motion;
    const gappy: Motion = { ...motion, xM: lost(xM), yM: lost(yM), vxMps: lost(vxMps), vyMps: lost(vyMps) };
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), fc.boolean(), (seed, hasGap) => {
        const draw = drawSources(table, seededRandom(seed));
        const of = hasGap ? gappy : motion;
        useDrawKernel(null);
        const plain = applySources(of, draw, geometryOf(), roomFor(of));
        useDrawKernel(compiled);
        const room = roomFor(of);
        expect(room.xM.buffer).not.toBe(plain.xM.buffer);
        expect(applySources(of, draw, geometryOf(), room)).toEqual(plain);
      }),
      { numRuns: 40 },
    );
  });

  it('turns the run-out on as truly as it would be worked out anew, in large steps and small ones', () => {
    for (const runOutTurn of [0.01, 1, 40]) {
      const phase = (y: number) => 2 + (runOutTurn / geometryOf().discRadiusM) * (y - 2);
      const out = applySources(motion, errors({ runOutM: 1, runOutPhaseRad: 2, runOutTurn }), geometryOf());
      const apartM = out.yM.map((y, i) => Math.abs(motion.yM[i] - Math.sin(phase(motion.yM[i])) - y));
      expect(Math.max(...apartM)).toBeLessThan(1e-12);
    }
  });
});
