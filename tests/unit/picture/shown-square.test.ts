import { describe, expect, it } from 'vitest';
import type { GreyImage } from '../../../shared-lib/picture/grey-image.ts';
import { takeSquare, unchangedShare } from '../../../shared-lib/picture/shown-square.ts';

const picture = (level: (x: number, y: number) => number): GreyImage => ({
  width: 40,
  height: 30,
  data: Uint8Array.from({ length: 40 * 30 }, (_, k) => level(k % 40, Math.floor(k / 40))),
});
const slope = picture((x, y) => 3 * x + 2 * y);

describe('a square that one picture showed', () => {
  it('lies round its place, and inside the picture at its edges', () => {
    expect(takeSquare(slope, 20, 15, 7, null)).toMatchObject({ x: 17, y: 12, side: 7 });
    expect(takeSquare(slope, 20.4, 14.6, 7, null)).toMatchObject({ x: 17, y: 12 });
    expect(takeSquare(slope, 0, 29, 7, null)).toMatchObject({ x: 0, y: 23 });
    const { levels } = takeSquare(slope, 20, 15, 7, null);
    expect([levels[0], levels[1], levels[7]]).toEqual([75, 78, 77]);
  });

  it('is unchanged in the same picture, and by the share of its pixels that are as they were', () => {
    const square = takeSquare(slope, 20, 15, 8, null);
    expect(unchangedShare(square, slope)).toBe(1);
    expect(
      unchangedShare(
        square,
        picture((x, y) => 3 * x + 2 * y + (x >= square.x + 2 ? 1 : 0)),
      ),
    ).toBe(0.25);
    expect(
      unchangedShare(
        square,
        picture((x, y) => 3 * x + 2 * y + 1),
      ),
    ).toBe(0);
  });

  it('is written over where room is given', () => {
    const first = takeSquare(slope, 10, 10, 7, null);
    const { levels } = first;
    const second = takeSquare(slope, 25, 12, 7, first);
    expect(second.levels).toBe(levels);
    expect(second).toMatchObject({ x: 22, y: 9 });
    expect(unchangedShare(second, slope)).toBe(1);
  });
});
