import { describe, expect, it } from 'vitest';
import { evidenceOf } from '../../../shared-lib/trace/choose-trace.ts';
import type { Seed } from '../../../shared-lib/trace/find-seeds.ts';
import { PictureFollower } from '../../../shared-lib/trace/follow-pictures.ts';
import { paintDisc } from '../picture/paint-disc.ts';

const rim = { xPx: 120, yPx: 0, aPx: 50, bPx: 50, thetaRad: Math.PI / 2 };
const yAt = (k: number): number => 150 + 45 * Math.cos(k / 9);
/** While the first 36 pictures are taken something goes along before all of the rim, so that only the face can be followed. */
const pictureAt = (k: number) =>
  paintDisc({
    width: 240,
    height: 300,
    disc: { ...rim, yPx: yAt(k), turnRad: 0 },
    noise: 2,
    seed: k + 1,
    occluder: (x, y) => k < 36 && Math.abs(Math.hypot(x - rim.xPx, y - yAt(k)) - 54) < 7,
  });

describe('PictureFollower', () => {
  it('goes on from a plainer rim where the first was placed wrongly, and keeps where the disc travelled', () => {
    const seed = (k: number, asidePx: number, strength: number): Seed => ({
      ptsS: k / 30,
      rim: { ...rim, xPx: rim.xPx + asidePx, yPx: yAt(k) },
      strength,
    });
    const follower = new PictureFollower([seed(0, 6.5, 1)]);
    for (let k = 0; k < 50; k++) {
      const picture = pictureAt(k);
      follower.push(picture, k / 30);
      if (k === 35) follower.addSeeds([seed(k, 0, 0.5)], picture, k / 30, 5);
      if (k === 36) follower.addSeeds([seed(k, 0, 3)], picture, k / 30, 5);
    }
    const [disc, ...others] = follower.finish();
    expect(others).toEqual([]);
    expect(disc.seed.strength).toBe(3);
    expect(disc.start).toBe(36);
    expect(disc.earlier).toHaveLength(36);
    const { travelM, rimShare } = evidenceOf(disc);
    expect(travelM).toBeGreaterThan(0.35);
    expect(rimShare).toBeGreaterThan(0.9);
  });

  it('goes on from the younger of two that come to one rim where its rim shows far better', () => {
    // The disc comes nearer, until it is as large as where its rim was first seen by error.
    const pictureAt = (k: number) =>
      paintDisc({
        width: 240,
        height: 300,
        disc: {
          ...rim,
          aPx: rim.aPx * (1 + 0.001 * k),
          bPx: rim.bPx * (1 + 0.001 * k),
          yPx: yAt(k),
          turnRad: 0,
        },
        noise: 2,
        seed: k + 1,
      });
    const seed = (growth: number, strength: number): Seed => ({
      ptsS: 0,
      rim: { ...rim, yPx: yAt(0), aPx: growth * rim.aPx, bPx: growth * rim.bPx },
      strength,
    });
    const follower = new PictureFollower([seed(1.075, 2)]);
    for (let k = 0; k < 30; k++) {
      const picture = pictureAt(k);
      follower.push(picture, k / 30);
      if (k === 4) follower.addSeeds([{ ...seed(1, 1), rim: { ...rim, yPx: yAt(k) } }], picture, k / 30, 5);
    }
    const [disc, ...others] = follower.finish();
    expect(others).toEqual([]);
    expect(disc.seed.strength).toBe(1);
    expect(disc.earlier).toHaveLength(4);
    expect(evidenceOf(disc).rimShare).toBeGreaterThan(0.9);
  });
});
