import { describe, expect, it } from 'vitest';
import { conformalPicture, motionNear } from '../../../shared-lib/picture/conformal-picture.ts';
import { applySimilarity, fitSimilarity } from '../../../shared-lib/picture/similarity.ts';

const size = { width: 1280, height: 720 };
const focalPx = 900;
const rad = Math.PI / 180;

/** Where a pinhole that has turned by pan and tilt sees what it saw at a pixel before. */
function turned(panRad: number, tiltRad: number, x: number, y: number): [number, number] {
  const [cx, cy] = [(size.width - 1) / 2, (size.height - 1) / 2];
  const [a, b, c] = [(x - cx) / focalPx, (y - cy) / focalPx, 1];
  const [a1, c1] = [Math.cos(panRad) * a - Math.sin(panRad) * c, Math.sin(panRad) * a + Math.cos(panRad) * c];
  const [b2, c2] = [
    Math.cos(tiltRad) * b - Math.sin(tiltRad) * c1,
    Math.sin(tiltRad) * b + Math.cos(tiltRad) * c1,
  ];
  return [cx + (focalPx * a1) / c2, cy + (focalPx * b2) / c2];
}

const grid = Array.from(
  { length: 60 },
  (_, i) => [60 + (i % 10) * 125, 60 + Math.floor(i / 10) * 118] as const,
);

/** Error of a motion fitted over the whole picture at a place off its middle, px, with a focal length that is taken to be the lens's. */
function missAt(taken: number, place: readonly [number, number]): number {
  const space = conformalPicture(size, taken);
  const from = grid.map(([x, y]) => space.to(...turned(1 * rad, 0.6 * rad, x, y)));
  const to = grid.map(([x, y]) => space.to(x, y));
  const { similarity } = fitSimilarity({
    fromX: Float64Array.from(from, (p) => p[0]),
    fromY: Float64Array.from(from, (p) => p[1]),
    toX: Float64Array.from(to, (p) => p[0]),
    toY: Float64Array.from(to, (p) => p[1]),
    weight: new Float64Array(grid.length).fill(1),
  })!;
  const seen = turned(1 * rad, 0.6 * rad, ...place);
  const [x, y] = applySimilarity(motionNear(space, similarity, ...seen), ...seen);
  return Math.hypot(x - place[0], y - place[1]);
}

describe('the conformal picture', () => {
  it('goes to and fro without loss, and leaves the middle as it is', () => {
    const { to, from } = conformalPicture(size, focalPx);
    for (const [x, y] of grid) {
      const [x1, y1] = from(...to(x, y));
      expect(Math.hypot(x1 - x, y1 - y)).toBeLessThan(1e-9);
    }
    const [x, y] = to(639.5 + 1, 359.5);
    expect(x).toBeCloseTo(640.5, 5);
    expect(y).toBe(359.5);
  });

  it.each([
    [639, 359],
    [800, 500],
    [420, 250],
  ])('tells how a turned camera moves the picture at (%i, %i) three times as well as a flat one', (x, y) => {
    const flat = missAt(Infinity, [x, y]);
    expect(flat).toBeGreaterThan(0.5);
    expect(missAt(focalPx, [x, y])).toBeLessThan(flat / 3);
    // A focal length that is a fifth off still takes most of it away.
    expect(missAt(0.8 * focalPx, [x, y])).toBeLessThan(0.7 * flat);
    expect(missAt(1.2 * focalPx, [x, y])).toBeLessThan(0.7 * flat);
  });
});
