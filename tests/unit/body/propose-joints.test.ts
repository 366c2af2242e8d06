import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cropsOf, fromCrop, poseViewOf, type Crop } from '../../../shared-lib/body/pose-view.ts';
import { proposeJoints, type Landmarks } from '../../../shared-lib/body/propose-joints.ts';

type Pixel = readonly [number, number];
const pxPerM = 400;
const view = poseViewOf('deadlift', 'right', [800, 900], [800, 900], pxPerM);
const crops = cropsOf(view);

/** A place of the picture as shares of a crop. */
function inCrop({ xPx, yPx, sidePx, turnRad }: Crop, [x, y]: Pixel): Pixel {
  const [dx, dy] = [x - xPx, y - yPx];
  const [cos, sin] = [Math.cos(turnRad), Math.sin(turnRad)];
  return [0.5 + (cos * dx - sin * dy) / sidePx, 0.5 + (sin * dx + cos * dy) / sidePx];
}

/** A lifter who faces right and holds the bar: near (right) side, far side 6 px behind. */
const body: Record<number, Pixel> = {
  12: [800, 500],
  14: [805, 690],
  16: [800, 860],
  24: [640, 640],
  26: [790, 760],
  28: [740, 940],
  30: [700, 980],
  32: [820, 985],
};
const seenIn = (crop: Crop, off: (index: number) => Pixel = () => [0, 0]): Landmarks =>
  Array.from({ length: 33 }, (_, i) => {
    const near = body[i % 2 === 0 ? i : i + 1] ?? [750, 600];
    const [dx, dy] = off(i);
    const far = i % 2 === 0 ? 0 : -6;
    return inCrop(crop, [near[0] + dx, near[1] + dy + far]);
  });

describe('joints proposed from what a model saw in several crops', () => {
  it('come back to the picture wherever the crop is and however it is turned', () => {
    const number = fc.double({ min: -2000, max: 2000, noNaN: true });
    const crop = fc.record({
      xPx: number,
      yPx: number,
      sidePx: fc.double({ min: 50, max: 2000, noNaN: true }),
      turnRad: fc.double({ min: -4, max: 4, noNaN: true }),
    });
    fc.assert(
      fc.property(crop, number, number, (c, x, y) => {
        const [u, v] = inCrop(c, [x, y]);
        const [backX, backY] = fromCrop(c, u, v);
        expect(Math.hypot(backX - x, backY - y)).toBeLessThan(1e-6);
      }),
    );
  });

  it('are the near side’s, with no doubt below the model’s own grain of 1 cm', () => {
    const found = proposeJoints(
      'deadlift',
      view,
      crops,
      crops.map((c) => seenIn(c)),
    );
    expect(found.map(({ joint }) => joint)).toEqual([
      ...['shoulder', 'elbow', 'wrist', 'hip', 'knee', 'ankle', 'heel', 'toe'],
    ]);
    const hip = found.find(({ joint }) => joint === 'hip')!;
    expect([hip.xPx, hip.yPx]).toEqual([expect.closeTo(640, 6), expect.closeTo(640, 6)]);
    expect(hip.spreadPx).toBeCloseTo(0.01 * pxPerM, 6);
  });

  it('state as doubt what moves from crop to crop, and one crop gone astray moves nothing', () => {
    const moved = [0, 12, -12, 10, -10, 300, 2];
    const seen = crops.map((c, k) => seenIn(c, (i) => (i === 24 ? [moved[k], 0] : [0, 0])));
    const hip = proposeJoints('deadlift', view, crops, seen).find(({ joint }) => joint === 'hip')!;
    expect(Math.abs(hip.xPx - 642)).toBeLessThan(1e-6);
    // Deviations from 2: 2, 10, 14, 8, 12, 298, 0; their median is 10.
    expect(hip.spreadPx).toBeCloseTo(14.826, 6);
  });

  it('leave out a body that does not hold the bar, a leg in the air, and pictures without a body', () => {
    const elsewhere = crops.map((c) => seenIn(c, () => [0.5 * pxPerM, 0]));
    expect(proposeJoints('deadlift', view, crops, elsewhere)).toEqual([]);
    const raised = crops.map((c) => seenIn(c, (i) => (i === 28 ? [0, -0.1 * pxPerM] : [0, 0])));
    expect(proposeJoints('deadlift', view, crops, raised).map(({ joint }) => joint)).toEqual([
      ...['shoulder', 'elbow', 'wrist', 'hip'],
    ]);
    const three = crops.map((c, k) => (k < 3 ? seenIn(c) : null));
    expect(proposeJoints('deadlift', view, crops, three)).toEqual([]);
  });

  it('ask for the same picture whichever way the lifter faces', () => {
    for (const lift of ['squat', 'bench', 'deadlift'] as const) {
      const right = poseViewOf(lift, 'right', [820, 500], [800, 480], pxPerM);
      const left = poseViewOf(lift, 'left', [-820, 500], [-800, 480], pxPerM);
      expect(left.xPx).toBeCloseTo(-right.xPx, 9);
      expect([left.yPx, left.sidePx]).toEqual([right.yPx, right.sidePx]);
      expect(left.turnRad).toBeCloseTo(-right.turnRad, 9);
      expect([left.near, right.near]).toEqual(['left', 'right']);
    }
  });
});
