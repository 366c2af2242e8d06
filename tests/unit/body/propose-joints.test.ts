import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cropsOf, fromCrop, poseViewOf, type Crop } from '../../../shared-lib/body/pose-view.ts';
import { proposeJoints, type Landmarks } from '../../../shared-lib/body/propose-joints.ts';

type Pixel = readonly [number, number];
const pxPerM = 400;
const view = poseViewOf('deadlift', 'right', [800, 900], [800, 900], pxPerM);
const crops = cropsOf(view);

/** A place of the picture as shares of a crop. */
function inCrop({ xPx, yPx, sidePx, turnRad, isMirrored }: Crop, [x, y]: Pixel): Pixel {
  const [dx, dy] = [x - xPx, y - yPx];
  const [cos, sin] = [Math.cos(turnRad), Math.sin(turnRad)];
  const across = (cos * dx - sin * dy) / sidePx;
  return [0.5 + (isMirrored ? -across : across), 0.5 + (sin * dx + cos * dy) / sidePx];
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
const seenIn = (crop: Crop, off: (index: number) => Pixel = () => [0, 0]): Landmarks => {
  // In a mirror a right side looks like a left one: indices of both sides change places.
  const asNamed = (i: number) => (crop.isMirrored && i >= 11 ? (i % 2 === 0 ? i - 1 : i + 1) : i);
  return Array.from({ length: 33 }, (_, seen) => {
    const i = asNamed(seen);
    const near = body[i % 2 === 0 ? i : i + 1] ?? [750, 600];
    const [dx, dy] = off(i);
    const far = i % 2 === 0 ? 0 : -6;
    return inCrop(crop, [near[0] + dx, near[1] + dy + far]);
  });
};

describe('joints proposed from what a model saw in several crops', () => {
  it('come back to the picture wherever the crop is and however it is turned', () => {
    const number = fc.double({ min: -2000, max: 2000, noNaN: true });
    const crop = fc.record({
      xPx: number,
      yPx: number,
      sidePx: fc.double({ min: 50, max: 2000, noNaN: true }),
      turnRad: fc.double({ min: -4, max: 4, noNaN: true }),
      isMirrored: fc.boolean(),
    });
    fc.assert(
      fc.property(crop, number, number, (c, x, y) => {
        const [u, v] = inCrop(c, [x, y]);
        const [backX, backY] = fromCrop(c, u, v);
        expect(Math.hypot(backX - x, backY - y)).toBeLessThan(1e-6);
      }),
    );
  });

  const find = (seen: Landmarks[], joint: string) =>
    proposeJoints('deadlift', view, crops, seen).find((p) => p.joint === joint)!;

  it('are the near side’s, with no doubt below what is off in all crops alike: 2 cm at the hip', () => {
    const seen = crops.map((c) => seenIn(c));
    expect(proposeJoints('deadlift', view, crops, seen).map(({ joint }) => joint)).toEqual([
      ...['shoulder', 'elbow', 'wrist', 'hip', 'knee', 'ankle', 'heel', 'toe'],
    ]);
    const hip = find(seen, 'hip');
    expect([hip.xPx, hip.yPx]).toEqual([expect.closeTo(640, 6), expect.closeTo(640, 6)]);
    expect(hip.spreadPx).toBeCloseTo(0.02 * pxPerM, 6);
  });

  it('state as doubt twice what moves from crop to crop, and one crop gone astray moves nothing', () => {
    const moved = [0, 12, -12, 10, -10, 300, 2, 2];
    const seen = crops.map((c, k) => seenIn(c, (i) => (i === 24 ? [moved[k], 0] : [0, 0])));
    const hip = find(seen, 'hip');
    expect(Math.abs(hip.xPx - 642)).toBeLessThan(1e-6);
    // Deviations from 2: 2, 10, 14, 8, 12, 298, 0, 0; their median is 9.
    expect(hip.spreadPx).toBeCloseTo(Math.hypot(2 * 1.4826 * 9, 0.02 * pxPerM), 6);
  });

  it('take the lower foot’s leg and the arm whose hand is closer to the disc, whatever they are called', () => {
    const legsSwapped = (i: number): Pixel => (i >= 25 ? [0, i % 2 === 0 ? -40 : 40] : [0, 0]);
    const knee = find(
      crops.map((c) => seenIn(c, legsSwapped)),
      'knee',
    );
    expect([knee.xPx, knee.yPx]).toEqual([expect.closeTo(790, 6), expect.closeTo(760 - 6 + 40, 6)]);
    const armsSwapped = (i: number): Pixel => (i === 15 || i === 13 ? [0, 6] : i === 16 ? [-60, 0] : [0, 0]);
    const wrist = find(
      crops.map((c) => seenIn(c, armsSwapped)),
      'wrist',
    );
    expect([wrist.xPx, wrist.yPx]).toEqual([expect.closeTo(800, 6), expect.closeTo(860, 6)]);
  });

  it('leave out a body that does not hold the bar, and pictures without a body', () => {
    const elsewhere = crops.map((c) => seenIn(c, () => [0.5 * pxPerM, 0]));
    expect(proposeJoints('deadlift', view, crops, elsewhere)).toEqual([]);
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
