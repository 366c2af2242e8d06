import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import { grainOf, softeningPx } from '../../../shared-lib/picture/grain.ts';
import type { GreyImage } from '../../../shared-lib/picture/grey-image.ts';
import { paintDisc } from './paint-disc.ts';

const disc = { xPx: 300, yPx: 180, aPx: 60, bPx: 60, thetaRad: 0, turnRad: 0 };
const grainy = (sigma: number): GreyImage => {
  const random = seededRandom(4);
  const image = paintDisc({ width: 640, height: 360, disc });
  return {
    ...image,
    data: image.data.map((level) => Math.round(0.5 * level + 60 + sigma * random.normal())),
  };
};

describe('grainOf', () => {
  it.each([3, 5, 8])('is what pixels differ by, %f grey levels, whatever else the picture shows', (sigma) => {
    expect(Math.abs(grainOf(grainy(sigma)) / sigma - 1)).toBeLessThan(0.12);
  });

  it('is next to nothing in a clean picture', () => {
    expect(grainOf(grainy(0))).toBeLessThan(1);
  });
});

describe('softeningPx', () => {
  const full = { width: 1920, height: 1080 };

  it('leaves pictures of usual grain alone', () => {
    expect(softeningPx(2.9, full)).toBe(0);
  });

  it('goes with the grain, and no farther than discs of a picture of its size bear', () => {
    expect(softeningPx(4, full)).toBeCloseTo(1.4, 9);
    expect(softeningPx(9, full)).toBe(2);
    expect(softeningPx(9, { width: 540, height: 960 })).toBe(1);
  });
});
