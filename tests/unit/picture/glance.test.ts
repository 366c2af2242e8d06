import { describe, expect, it } from 'vitest';
import { glanceAt, showsTheSame } from '../../../shared-lib/picture/glance.ts';
import { paintDisc } from './paint-disc.ts';

const pictureOf = (xPx: number, seed: number) =>
  paintDisc({
    ...{ width: 200, height: 180, noise: 1, seed },
    disc: { xPx, yPx: 90, aPx: 60, bPx: 60, thetaRad: 0, turnRad: 0 },
  });

describe('a glance', () => {
  const glance = glanceAt(pictureOf(100, 1), 100, 90, 60);

  it('shows the same where a picture is shown again, but for what compression leaves', () => {
    const again = pictureOf(100, 1);
    expect(showsTheSame(glance, again)).toBe(true);
    again.data.forEach((level, at) => (again.data[at] = at % 2 === 0 ? level : Math.min(255, level + 1)));
    expect(showsTheSame(glance, again)).toBe(true);
  });

  it('shows something else where the disc has moved by a pixel, and in a new picture of one that rests', () => {
    expect(showsTheSame(glance, pictureOf(101, 1))).toBe(false);
    expect(showsTheSame(glance, pictureOf(100, 2))).toBe(false);
  });

  it('takes the border for what lies outside the picture', () => {
    const { levels } = glanceAt(pictureOf(100, 1), 0, 0, 40);
    expect(levels[0]).toBe(pictureOf(100, 1).data[0]);
  });
});
