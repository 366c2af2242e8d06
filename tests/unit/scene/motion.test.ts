import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { drawScene } from '../../../demo-data/draw-scene.ts';
import { motionOf } from '../../../demo-data/motion/bar-motion.ts';
import {
  bounceShare,
  brokenDriveCurve,
  descentCurve,
  driveCurve,
  dropCurve,
} from '../../../demo-data/motion/courses.ts';
import { velocityCurve } from '../../../demo-data/motion/velocity-curve.ts';

describe('a velocity curve', () => {
  it('covers the exact area under a triangle-like hill of two smooth steps', () => {
    // Between two knots with slope 0 the mean velocity is the mean of the two.
    const curve = velocityCurve([
      { tS: 0, vMps: 0 },
      { tS: 1, vMps: 2 },
      { tS: 4, vMps: 0 },
    ]);
    expect(curve.position(1)).toBeCloseTo(1, 12);
    expect(curve.position(4)).toBeCloseTo(4, 12);
    expect(curve.velocity(1)).toBe(2);
  });
});

describe('a course', () => {
  const metres = fc.double({ min: 0.2, max: 0.8, noNaN: true });

  it('lowers by the distance asked for in the time asked for', () => {
    fc.assert(
      fc.property(metres, fc.double({ min: 0.5, max: 4, noNaN: true }), fc.boolean(), (way, time, turn) => {
        const curve = descentCurve(way, time, turn);
        expect(curve.durationS).toBeCloseTo(time, 12);
        expect(curve.position(time)).toBeCloseTo(-way, 12);
      }),
    );
  });

  it('drives up by the distance asked for, and its peaks and its slow point are the planned ones', () => {
    fc.assert(
      fc.property(
        metres,
        fc.double({ min: 0.05, max: 0.3, noNaN: true }),
        fc.double({ min: 0.35, max: 0.6, noNaN: true }),
        fc.boolean(),
        (way, slowMps, peak, turn) => {
          const curve = driveCurve({ firstPeakMps: peak, slowMps, secondPeakMps: peak + 0.1 }, way, turn);
          expect(curve.position(curve.durationS)).toBeCloseTo(way, 12);
          const v = Array.from({ length: 4001 }, (_, i) => curve.velocity((curve.durationS * i) / 4000));
          const first = v.slice(0, 1300);
          expect(Math.max(...first)).toBeCloseTo(peak, 5);
          expect(Math.min(...v.slice(1000, 2600))).toBeCloseTo(slowMps, 5);
          expect(Math.max(...v)).toBeCloseTo(peak + 0.1, 5);
        },
      ),
    );
  });
});

describe('the motion of the bar', () => {
  it('has as its velocity the slope of its position, in every lift and stage, without a jump', () => {
    for (const lift of ['squat', 'bench', 'deadlift'] as const)
      for (const stopShortM of [0, 0.15]) {
        const spec = drawScene(5, {
          lift,
          plan: { unrack: lift !== 'deadlift', rerack: true },
          reps: [{}, { stopShortM }],
        });
        const motion = motionOf(spec);
        for (let tS = 0.01; tS < motion.durationS - 0.01; tS += 0.0137) {
          const [a, b] = [motion.at(tS - 1e-5), motion.at(tS + 1e-5)];
          const v = motion.at(tS);
          expect((b.xM - a.xM) / 2e-5).toBeCloseTo(v.vxMps, 3);
          expect((b.yM - a.yM) / 2e-5).toBeCloseTo(v.vyMps, 3);
        }
        for (const { toS } of motion.spans.slice(0, -1)) {
          const [a, b] = [motion.at(toS - 1e-7), motion.at(toS + 1e-7)];
          expect(Math.hypot(b.xM - a.xM, b.yM - a.yM)).toBeLessThan(1e-6);
          expect(Math.hypot(b.vxMps - a.vxMps, b.vyMps - a.vyMps)).toBeLessThan(1e-4);
        }
      }
  });
});

describe('what goes wrong with a lift', () => {
  it('falls, rests and goes on where it is told, and still covers the whole way', () => {
    const plan = { firstPeakMps: 0.5, slowMps: null, secondPeakMps: 0.5 };
    const curve = brokenDriveCurve(plan, 0.5, false, [{ atShare: 0.6, fallM: 0.02, stillS: 0.3 }]);
    const grid = Array.from({ length: 5001 }, (_, i) => (curve.durationS * i) / 5000);
    const y = grid.map((t) => curve.position(t));
    const firstTop = y.findIndex((v, i) => i > 0 && y[i + 1] < v - 1e-9);
    expect(y[firstTop]).toBeCloseTo(0.3, 4);
    expect(Math.min(...y.slice(firstTop, firstTop + 1500))).toBeCloseTo(0.28, 4);
    expect(curve.position(curve.durationS)).toBeCloseTo(0.5, 12);
  });

  it('lets a dropped bar fall with gravity and bounce by the square of its restitution', () => {
    const drop = dropCurve(0.55);
    const fallS = Math.sqrt((2 * 0.55) / 9.81);
    expect(drop.position(fallS / 2)).toBeCloseTo(-0.55 / 4, 12);
    expect(drop.velocity(fallS - 1e-9)).toBeCloseTo(-Math.sqrt(2 * 9.81 * 0.55), 6);
    const after = Array.from({ length: 4000 }, (_, i) => drop.position(fallS + i * 0.0001));
    expect(Math.max(...after) + 0.55).toBeCloseTo(0.55 * bounceShare ** 2, 5);
    expect(drop.position(drop.durationS)).toBeCloseTo(-0.55, 12);
  });

  it('whips at the frequency of the bar once the hands are still, by millimetres, about the planned height', () => {
    const whipHz = 4.5;
    const at = (plan: object) =>
      motionOf(
        drawScene(5, {
          lift: 'squat',
          plan: { swayM: 0, holdS: 1.5, ...plan },
          reps: [{ drive: { firstPeakMps: 1, slowMps: null, secondPeakMps: 1.2 } }],
        }),
      );
    const [stiff, bent] = [at({}), at({ whipHz })];
    const { toS } = stiff.spans.find((s) => s.stage.name === 'drive')!;
    const off = (tS: number) => bent.at(tS).yM - stiff.at(tS).yM;
    const crossings: number[] = [];
    for (let t = toS + 0.01; t < toS + 1.2; t += 0.0005)
      if (off(t) < 0 !== off(t + 0.0005) < 0) crossings.push(t);
    const periodS = (2 * (crossings[4] - crossings[0])) / 4;
    expect(1 / periodS).toBeCloseTo(whipHz * Math.sqrt(1 - 0.06 ** 2), 1);
    const most = Math.max(...Array.from({ length: 400 }, (_, i) => Math.abs(off(i * 0.02))));
    expect(most).toBeGreaterThan(0.002);
    expect(most).toBeLessThan(0.015);
    for (let t = toS - 0.5; t < toS + 0.5; t += 0.0137) {
      const slope = (bent.at(t + 1e-5).yM - bent.at(t - 1e-5).yM) / 2e-5;
      expect(Math.abs(slope - bent.at(t).vyMps)).toBeLessThan(0.005);
    }
  });
});

describe('a bar that leaves its plane', () => {
  it('is as far out of it as planned at the bottom and at lockout, and in the plane as it was', () => {
    const spec = drawScene(5, { lift: 'squat' });
    const flat = motionOf(spec);
    const drawn = { toBottomM: 0.012, toLockoutM: -0.02 };
    const bar = motionOf({ ...spec, plan: { ...spec.plan, sideways: drawn } });
    const spanOf = (name: string) => bar.spans.find(({ stage }) => stage.name === name)!;
    const [down, up] = [spanOf('descent'), spanOf('drive')];
    expect(bar.at(0).zM).toBeCloseTo(0, 3);
    expect(bar.at(up.toS).zM).toBeCloseTo(-0.02, 3);
    const half = bar.at(up.fromS);
    const s = (up.fromS - down.fromS) / (up.toS - down.fromS);
    expect(half.zM).toBeCloseTo(0.012 - 0.02 * s * s * (3 - 2 * s), 3);
    expect(half).toMatchObject(flat.at(up.fromS));
  });

  it('is at its bottom nowhere in a set of deadlifts, whose drives begin where it stands and sways', () => {
    const one = drawScene(5, { lift: 'deadlift' });
    const plan = { ...one.plan, swayM: 0.003, reps: [one.plan.reps[0], one.plan.reps[0]] };
    const bar = motionOf({ ...one, plan: { ...plan, sideways: { toBottomM: 0.012, toLockoutM: 0 } } });
    for (const { fromS } of bar.spans) expect(bar.at(fromS).zM).toBeCloseTo(0, 9);
  });
});
