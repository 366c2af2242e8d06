import { describe, expect, it } from 'vitest';
import type { GreyImage } from '../../../shared-lib/picture/grey-image.ts';
import { MotionSearch } from '../../../shared-lib/trace/motion-search.ts';
import { paintDisc } from '../picture/paint-disc.ts';

const size = { width: 480, height: 270 };
const still = { xPx: 120, yPx: 140, aPx: 50, bPx: 50, thetaRad: Math.PI / 2, turnRad: 0 };

/** A large plain disc that stands still, and a smaller one that rises 90 pixels a second; a hand shakes the camera. */
function sceneAt(tS: number): GreyImage {
  const shakePx = Math.sin(9 * tS);
  const moving = { ...still, aPx: 34, bPx: 33, xPx: 330, yPx: 190 - 90 * Math.max(0, tS - 0.9) };
  const near = paintDisc({ ...size, disc: { ...moving, yPx: moving.yPx + shakePx }, noise: 2, seed: 7 });
  const far = paintDisc({ ...size, disc: { ...still, yPx: still.yPx + shakePx }, noise: 2, seed: 8 });
  for (let y = 0; y < size.height; y++)
    near.data.set(far.data.subarray(y * size.width, y * size.width + 220), y * size.width);
  return near;
}

function looks(untilS: number): { tS: number; at: { x: number; y: number }[] }[] {
  const search = new MotionSearch(3);
  const found: { tS: number; at: { x: number; y: number }[] }[] = [];
  for (let tS = 0; tS <= untilS; tS += 0.1) {
    const seeds = search.look(sceneAt(tS), tS);
    if (seeds) found.push({ tS, at: seeds.map(({ rim }) => ({ x: rim.xPx, y: rim.yPx })) });
  }
  return found;
}

describe('MotionSearch', () => {
  const found = looks(1.8);

  it('looks now and then, and finds nothing while nothing moves', () => {
    expect(found).toHaveLength(2);
    expect(found[0].at).toEqual([]);
  });

  it('finds the disc that moves and never the one that stands still', () => {
    const [{ tS, at }] = found.slice(-1);
    expect(Math.abs(at[0].x - 330)).toBeLessThan(2);
    expect(Math.abs(at[0].y - (190 - 90 * (tS - 0.9) + Math.sin(9 * tS)))).toBeLessThan(2);
    expect(at.some(({ x, y }) => Math.hypot(x - still.xPx, y - still.yPx) < 30)).toBe(false);
  });
});
