import { describe, expect, it } from 'vitest';
import { rimByScenery } from '../../../shared-lib/camera/scenery-rim.ts';
import { normalOf } from '../../../shared-lib/camera/pinhole.ts';
import { discView, radiusM, type Look } from './disc-pictures.ts';
import { project, type Camera } from './pinhole.ts';

const square: Camera = { distanceM: 3, focalPx: 800, yawDeg: 0, pitchDeg: 0, rollDeg: 0 };
const lens = { focalPx: 800, cxPx: 960, cyPx: 540 };
const plane = { normal: normalOf(0, 0), distanceM: 3 };

/** Bricks, so that scenery changes behind a rim that moves. */
const bricks = (uPx: number, vPx: number): number =>
  (Math.floor(uPx / 31) + Math.floor(vPx / 17)) % 2 === 0 ? 165 : 85;

function sizeBy(look: Look, share: number): ReturnType<typeof rimByScenery> {
  const views = Array.from({ length: 14 }, (_, k) => {
    const [x, y] = [0.01 * Math.cos(k), 0.5 * (k / 13) - 0.25];
    const view = discView(square, 0.03, x, y, k, look);
    const [xPx, yPx] = project(square, x, y);
    return { view, ring: { xPx: view.ring.xPx, yPx: view.ring.yPx }, centre: { xPx, yPx } };
  });
  return rimByScenery(views, lens, plane, share * radiusM, 0.03);
}

describe('the rim by where the scenery behind it begins', () => {
  it.each([0.97, 1, 1.02])('is found where scenery begins, from a rim taken at %f of it', (share) => {
    const found = sizeBy({ wallAt: bricks }, share)!;
    expect(found.share * share).toBeGreaterThan(0.994);
    expect(found.share * share).toBeLessThan(1.006);
    expect(found.sigma).toBeLessThan(0.004);
  });

  it('is not taken in by a lip inside it that is as light as the wall', () => {
    const found = sizeBy({ wallAt: bricks, lipFrom: 0.96 }, 0.96)!;
    expect(found.share * 0.96).toBeGreaterThan(0.993);
    expect(found.share * 0.96).toBeLessThan(1.007);
  });

  it('is not told where nothing changes behind the disc', () => {
    expect(sizeBy({}, 1)).toBeNull();
  });
});
