import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { misfit, type Position } from '../../../shared-lib/trace/fuse-positions.ts';
import { followInto, startFollowing, type FollowState } from '../../../shared-lib/trace/follow-disc.ts';
import { paintDisc } from '../picture/paint-disc.ts';

const at = (xPx: number, yPx: number, variance = 1): Position => ({
  xPx,
  yPx,
  varXPx2: variance,
  varYPx2: variance,
  covXYPx2: 0,
});

describe('misfit', () => {
  it('is the squared distance over the sum of the variances, either way round', () => {
    const offset = fc.double({ min: -20, max: 20, noNaN: true });
    fc.assert(
      fc.property(offset, offset, (dx, dy) => {
        expect(misfit(at(0, 0, 1), at(dx, dy, 3))).toBeCloseTo((dx * dx + dy * dy) / 4, 9);
        expect(misfit(at(dx, dy, 3), at(0, 0, 1))).toBeCloseTo((dx * dx + dy * dy) / 4, 9);
      }),
    );
  });
});

const radius = 60;
const placeAt = (k: number) => ({ xPx: 150 + 0.4 * k, yPx: 90 + 2.5 * k });

/** Follows a disc that comes down, 24 pictures long, behind what `hides` says. */
function followBehind(hides: (k: number, x: number, y: number) => boolean, occluderGrey = 120) {
  const steps: { error: number; sigma: number; seen: boolean }[] = [];
  let state: FollowState | null = null;
  for (let k = 0; k < 24; k++) {
    const place = placeAt(k);
    const disc = { ...place, aPx: radius, bPx: radius, thetaRad: 0, turnRad: 0.01 * k };
    const picture = paintDisc({
      width: 300,
      height: 260,
      disc,
      noise: 3,
      seed: k + 1,
      occluder: (x, y) => hides(k, x, y),
      occluderGrey,
    });
    state ??= startFollowing(picture, { ...place, aPx: radius, bPx: radius, thetaRad: 0 }, 0);
    const step = followInto(state, picture, k / 30);
    state = step.state;
    const m = step.measurement;
    steps.push({
      error: Math.hypot(m.xPx - place.xPx, m.yPx - place.yPx),
      sigma: Math.sqrt(m.varXPx2 + m.varYPx2),
      seen: m.confidence > 0,
    });
  }
  return steps;
}

describe('followInto', () => {
  it('stays on a disc that an upright hides a quarter of, and says how sure it is', () => {
    for (const { error, sigma, seen } of followBehind((_, x) => x > 150 && x < 190)) {
      expect(seen).toBe(true);
      expect(error).toBeLessThan(0.6);
      expect(error).toBeLessThan(5 * sigma);
    }
  });

  it('is never seen and wrong behind an arm that hides nearly all of the disc', () => {
    const covered = followBehind((k, x) => k >= 10 && k < 16 && x > 95);
    for (const [k, { seen, error }] of covered.entries()) {
      if (k < 10 || k >= 17) expect(seen, `picture ${k}`).toBe(true);
      if (seen) expect(error, `picture ${k}`).toBeLessThan(1);
    }
  });

  it('stays on a dark disc over a bright arm that comes before a third of it, and does not follow the arm', () => {
    // Two arms come in from the right, and stay while the disc goes on.
    const steps = followBehind((k, x, y) => {
      const along = x - Math.max(105, 330 - 22 * k);
      const offArm = (fromY: number): number => Math.abs(y - fromY + 0.5 * (x - 150));
      return along > 0 && Math.min(offArm(150), offArm(215)) < 18;
    }, 235);
    for (const [k, { seen, error }] of steps.entries()) {
      expect(seen, `picture ${k}`).toBe(true);
      expect(error, `picture ${k}`).toBeLessThan(1);
    }
  });

  it('goes on where a film shows a picture again and again, and then one as far on as the time that has passed', () => {
    // From standing to 15 pixels from picture to picture; some pictures are shown twice, some three times.
    const repeats = new Set([12, 15, 16, 19, 22, 23, 26]);
    const yOf = (k: number): number =>
      70 + Math.min(0.75 * Math.max(0, k - 8) ** 2, 75 + 15 * Math.max(0, k - 18));
    let state: FollowState | null = null;
    let shown = 0;
    for (let k = 0; k < 30; k++) {
      if (!repeats.has(k)) shown = k;
      const rim = { xPx: 150, yPx: yOf(shown), aPx: radius, bPx: radius, thetaRad: 0 };
      const disc = { ...rim, turnRad: 0 };
      const picture = paintDisc({ width: 300, height: 420, disc, noise: 2, seed: shown + 1 });
      state ??= startFollowing(picture, rim, 0);
      const step = followInto(state, picture, k / 30);
      state = step.state;
      expect(Math.hypot(step.measurement.xPx - rim.xPx, step.measurement.yPx - rim.yPx), `picture ${k}`).toBeLessThan(0.5); // prettier-ignore
      // How fast it goes is told by the new pictures alone.
      if (k > 21) expect(Math.abs(state.motion.vyPx - 15 * 30), `speed at picture ${k}`).toBeLessThan(60);
    }
  });

  it('goes with the rim of a plain disc, on which light and shade stay in place while it moves', () => {
    for (const [levels, periodPx] of [
      [8, 9],
      [12, 15],
    ] as const) {
      let state: FollowState | null = null;
      let off = 0;
      for (let k = 0; k < 36; k++) {
        const place = { xPx: 150 + 0.25 * Math.min(k, 20), yPx: 90 + 3 * Math.max(0, k - 20) };
        const rim = { ...place, aPx: radius, bPx: radius, thetaRad: 0 };
        const [width, height] = [300, 260];
        const picture = paintDisc({
          ...{ width, height, disc: { ...rim, turnRad: 0 }, noise: 2, seed: k + 1, plain: true },
        });
        picture.data.forEach((level, at) => {
          const [x, y] = [at % width, Math.floor(at / width)];
          if (Math.hypot(x - place.xPx, y - place.yPx) > radius - 3) return;
          const shade = levels * Math.sin((2 * x) / periodPx) * Math.cos((1.7 * y) / periodPx);
          picture.data[at] = Math.max(0, Math.round(level + shade));
        });
        state ??= startFollowing(picture, rim, 0);
        const step = followInto(state, picture, k / 30);
        state = step.state;
        const { xPx, yPx } = step.measurement;
        if (!(Math.hypot(xPx - place.xPx, yPx - place.yPx) < 1)) off++;
      }
      // The light alone leads astray in every other picture.
      expect(off).toBeLessThan(7);
    }
  });
});
