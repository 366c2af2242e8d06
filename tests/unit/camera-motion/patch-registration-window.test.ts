import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import { reduceWindow, windowIsInside } from '../../../shared-lib/picture/patch-registration-window.ts';

const size = 160;
const random = seededRandom(3);
const noise = {
  width: size,
  height: size,
  data: Uint8Array.from({ length: size * size }, () => Math.floor(256 * random.uniform())),
};
const ramp = {
  width: size,
  height: size,
  data: Uint8Array.from({ length: size * size }, (_, i) => (i % size) / 2 + Math.floor(i / size) / 2),
};

describe('reduceWindow', () => {
  it('is the binomial of a picture pyramid at factor 2', () => {
    const out = new Float64Array(6 * 5);
    reduceWindow(noise, 2, 10, 20, 6, 5, out);
    const w = [1, 3, 3, 1];
    for (let r = 0; r < 5; r++)
      for (let c = 0; c < 6; c++) {
        let sum = 0;
        for (let j = 0; j < 4; j++)
          for (let i = 0; i < 4; i++)
            sum += (w[i] * w[j] * noise.data[(2 * (20 + r) - 1 + j) * size + 2 * (10 + c) - 1 + i]) / 64;
        expect(out[r * 6 + c]).toBeCloseTo(sum, 9);
      }
  });

  it('is the picture itself at factor 1, and keeps slopes at every factor', () => {
    const one = new Float64Array(4);
    reduceWindow(noise, 1, 7, 9, 2, 2, one);
    expect(Array.from(one)).toEqual(
      [9 * size + 7, 9 * size + 8, 10 * size + 7, 10 * size + 8].map((i) => noise.data[i]),
    );
    for (const factor of [2, 4, 8, 16]) {
      const out = new Float64Array(9);
      reduceWindow(ramp, factor, 3, 4, 3, 3, out);
      // Half a grey level a pixel each way; rounding to whole levels averages out to within half a level.
      expect(Math.abs(out[2] - out[0] - factor)).toBeLessThan(0.5);
      expect(Math.abs(out[6] - out[0] - factor)).toBeLessThan(0.5);
    }
  });

  it('goes on beyond the border with the outermost pixels, and gives the same inside whichever way it is worked out', () => {
    const across = new Float64Array(8 * 3);
    reduceWindow(noise, 2, -4, 10, 8, 3, across);
    expect(windowIsInside(noise, 2, -4, 10, 8, 3)).toBe(false);
    const inside = new Float64Array(3 * 3);
    reduceWindow(noise, 2, 1, 10, 3, 3, inside);
    expect(windowIsInside(noise, 2, 1, 10, 3, 3)).toBe(true);
    for (let r = 0; r < 3; r++) {
      expect(across[r * 8]).toBeCloseTo(across[r * 8 + 2], 9);
      for (let c = 0; c < 3; c++) expect(across[r * 8 + 5 + c]).toBeCloseTo(inside[r * 3 + c], 9);
    }
  });
});
