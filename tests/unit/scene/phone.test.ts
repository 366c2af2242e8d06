import { describe, expect, it } from 'vitest';
import { phoneLook } from '../../../demo-data/film/phone.ts';
import { floatPlanes } from '../../../demo-data/film/yuv.ts';
import { ordinaryFilm } from '../../../demo-data/draw-scene.ts';

const [widthPx, heightPx] = [64, 16];
const film = { ...ordinaryFilm, widthPx, heightPx };

/** A soft edge down the picture whose middle lies at x = 31.5, luma. */
function softEdge() {
  const planes = floatPlanes(widthPx, heightPx);
  planes.y.forEach((_, i) => (planes.y[i] = 60 + 100 * Math.min(1, Math.max(0, ((i % widthPx) - 29.5) / 4))));
  return planes;
}

describe('what a phone does to a picture', () => {
  it('is nothing unless asked for', () => {
    expect(phoneLook(film)).toBeNull();
  });

  it('puts a halo round an edge, and leaves its middle where it is', () => {
    const { y } = phoneLook({ ...film, sharpen: 0.8 })!(softEdge());
    const row = y.subarray(8 * widthPx, 9 * widthPx);
    expect(Math.min(...row)).toBeLessThan(59.5);
    expect(Math.max(...row)).toBeGreaterThan(160.5);
    expect((row[31] + row[32]) / 2).toBeCloseTo(110, 1);
  });

  it('deepens contrast in the middle of the range and keeps black, grey and white', () => {
    const planes = floatPlanes(widthPx, heightPx);
    const levels = [16, 70, 125.5, 181, 235];
    planes.y.forEach((_, i) => (planes.y[i] = levels[i % 5]));
    const { y } = phoneLook({ ...film, contrast: 0.4 })!(planes);
    expect(y[0]).toBeCloseTo(16, 1);
    expect(y[1]).toBeLessThan(64);
    expect(y[2]).toBeCloseTo(125.5, 1);
    expect(y[3]).toBeGreaterThan(187);
    expect(y[4]).toBeCloseTo(235, 1);
  });
});
