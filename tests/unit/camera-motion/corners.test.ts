import { describe, expect, it } from 'vitest';
import { stillCamera } from '../../../shared-lib/contract/trace.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import { pickCorners, touchesBox } from '../../../shared-lib/picture/corners.ts';
import { addBlobs, expose, scatterBlobs } from './blobs.ts';

const width = 320;
const height = 200;
const search = { factor: 2, columns: 4, rows: 3, perCell: 2, halfWidthPx: 16 };

function texture() {
  const plane = new Float64Array(width * height).fill(128);
  addBlobs(plane, width, height, scatterBlobs(400, width, height, 20, seededRandom(6)), stillCamera);
  return expose(plane, width, height, { gain: 1, bias: 0, noise: 0, random: seededRandom(1) });
}

describe('pickCorners', () => {
  it('covers the grid, keeps its distance from the border and between corners', () => {
    const corners = pickCorners(texture(), [], search);
    expect(corners.length).toBe(24);
    for (const [i, a] of corners.entries()) {
      expect(Math.min(a.xPx, a.yPx, width - 1 - a.xPx, height - 1 - a.yPx)).toBeGreaterThanOrEqual(16);
      for (const b of corners.slice(i + 1))
        expect(Math.max(Math.abs(a.xPx - b.xPx), Math.abs(a.yPx - b.yPx))).toBeGreaterThanOrEqual(16);
    }
  });

  it('leaves out the boxes', () => {
    const box = { x0Px: 60, y0Px: 40, x1Px: 200, y1Px: 150 };
    const corners = pickCorners(texture(), [box], search);
    expect(corners.length).toBeGreaterThan(8);
    for (const c of corners) expect(touchesBox([box], c.xPx, c.yPx, 15)).toBe(false);
  });

  it('takes the corner of a square and nothing of its edges, and nothing from a flat or noisy wall', () => {
    const data = new Uint8Array(width * height).fill(60);
    for (let y = 0; y < 100; y++) data.fill(180, y * width, y * width + 160);
    const [corner, ...others] = pickCorners({ width, height, data }, [], {
      ...search,
      columns: 1,
      rows: 1,
      perCell: 1,
    });
    expect(Math.hypot(corner.xPx - 159.5, corner.yPx - 99.5)).toBeLessThan(10);
    expect(others).toEqual([]);
    const random = seededRandom(2);
    const wall = Uint8Array.from(data, () => Math.round(120 + 2 * random.normal()));
    expect(pickCorners({ width, height, data: wall }, [], search)).toEqual([]);
  });
});
