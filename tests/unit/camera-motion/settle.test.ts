import { describe, expect, it } from 'vitest';
import { stillCamera, type CameraMotion } from '../../../shared-lib/contract/trace.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import { composeSimilarity } from '../../../shared-lib/picture/similarity.ts';
import { settleCameraMotion } from '../../../shared-lib/trace/camera-motion-settle.ts';
import {
  addUncertainty,
  noUncertainty,
  shiftSigmaPx,
} from '../../../shared-lib/trace/camera-motion-uncertainty.ts';
import type { CameraEstimate } from '../../../shared-lib/trace/camera-estimate.ts';
import { motionError } from './blobs.ts';

const size = { widthPx: 1920, heightPx: 1080 };
const sigmaPx = 0.03;

/** Estimates of the given motion with noise of `sigmaPx` at the picture's centre. */
function estimates(n: number, motion: (i: number) => CameraMotion, seed = 1): CameraEstimate[] {
  const random = seededRandom(seed);
  return Array.from({ length: n }, (_, i) => {
    const turn = (sigmaPx / 960) * 0.8;
    const about = { scale: 1 + turn * random.normal(), rotationRad: turn * random.normal() };
    const noise = {
      ...about,
      txPx: (1 - about.scale) * 960 + about.rotationRad * 540 + sigmaPx * random.normal(),
      tyPx: (1 - about.scale) * 540 - about.rotationRad * 960 + sigmaPx * random.normal(),
    };
    return {
      motion: composeSimilarity(noise, motion(i)),
      uncertainty: { xPx: 960, yPx: 540, shiftVarPx2: sigmaPx ** 2, turnVarRad2: turn ** 2 },
      inlierShare: 0.9,
    };
  });
}

describe('settleCameraMotion', () => {
  it('lets a tripod stand still, whatever the noise and one misjudged frame', () => {
    const run = estimates(600, () => stillCamera);
    run[200].motion = { ...stillCamera, txPx: 30 };
    const settled = settleCameraMotion(run, size);
    expect(settled.moved).toBe(false);
    expect(settled.motions).toHaveLength(600);
    expect(settled.motions.every((m) => m === stillCamera)).toBe(true);
    expect(Math.max(...settled.sigmaPx)).toBe(0);
  });

  it('takes a hold without background for no motion', () => {
    const run = estimates(60, () => stillCamera);
    for (let i = 20; i < 40; i++) run[i] = { ...run[i], motion: { ...stillCamera, txPx: 9 }, inlierShare: 0 };
    expect(settleCameraMotion(run, size).moved).toBe(false);
  });

  it('sees a knock that stays, a slow sag, a turn and a zoom', () => {
    const moves: ((i: number) => CameraMotion)[] = [
      (i) => ({ ...stillCamera, tyPx: i < 100 ? 0 : 2 }),
      (i) => ({ ...stillCamera, tyPx: i / 100 }),
      (i) => ({ ...stillCamera, rotationRad: i / 1e5, txPx: (i / 1e5) * 540, tyPx: (-i / 1e5) * 960 }),
      (i) => ({ scale: 1 + i / 1e5, rotationRad: 0, txPx: (-i / 1e5) * 960, tyPx: (-i / 1e5) * 540 }),
    ];
    for (const move of moves) {
      const settled = settleCameraMotion(estimates(200, move), size);
      expect(settled.moved).toBe(true);
      expect(motionError(settled.motions[199], move(199), 1920, 1080).rmsPx).toBeLessThan(0.2);
    }
  });

  it('takes noise off where the camera moves slowly', () => {
    const slow = (i: number): CameraMotion => ({ ...stillCamera, txPx: 5 * Math.sin(i / 40), tyPx: i / 30 });
    const run = estimates(300, slow, 3);
    const settled = settleCameraMotion(run, size);
    const rms = (motions: CameraMotion[]) =>
      Math.sqrt(
        motions.reduce((s, m, i) => s + motionError(m, slow(i), 1920, 1080).rmsPx ** 2, 0) / motions.length,
      );
    // A quadratic over seven frames leaves sqrt(7/21) = .58 of white noise.
    expect(rms(settled.motions) / rms(run.map((e) => e.motion))).toBeLessThan(0.72);
  });

  it('leaves quick shaking and a sudden knock as they were estimated', () => {
    const quick = (i: number): CameraMotion => ({
      ...stillCamera,
      txPx: 4 * Math.sin(i * 1.9),
      tyPx: i < 50 ? 0 : 12,
    });
    const settled = settleCameraMotion(estimates(100, quick), size);
    const worst = Math.max(...settled.motions.map((m, i) => motionError(m, quick(i), 1920, 1080).rmsPx));
    expect(worst).toBeLessThan(0.2);
  });

  it('has nothing to settle in an empty clip', () => {
    expect(settleCameraMotion([], size)).toEqual({
      motions: [],
      sigmaPx: [],
      moved: false,
      seenShare: 0,
    });
  });

  it('says in how much of the clip background was seen', () => {
    const run = estimates(40, () => stillCamera);
    expect(settleCameraMotion(run, size).seenShare).toBe(1);
    for (let i = 10; i < 20; i++) run[i].inlierShare = 0;
    expect(settleCameraMotion(run, size).seenShare).toBe(0.75);
  });
});

describe('addUncertainty', () => {
  it('adds variances at every point of the picture', () => {
    const a = { xPx: 400, yPx: 300, shiftVarPx2: 0.01, turnVarRad2: 1e-8 };
    const b = { xPx: 1200, yPx: 700, shiftVarPx2: 0.002, turnVarRad2: 4e-8 };
    const both = addUncertainty(a, b);
    for (const [x, y] of [
      [0, 0],
      [1920, 1080],
      [900, 100],
    ]) {
      const sum = shiftSigmaPx(a, x, y) ** 2 + shiftSigmaPx(b, x, y) ** 2;
      expect(shiftSigmaPx(both, x, y) ** 2).toBeCloseTo(sum, 9);
    }
    expect(shiftSigmaPx(addUncertainty(noUncertainty, noUncertainty), 5, 5)).toBe(0);
  });
});
