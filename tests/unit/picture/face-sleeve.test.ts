import { describe, expect, it } from 'vitest';
import type { Rim } from '../../../shared-lib/contract/trace.ts';
import { faceTemplate, registerFace } from '../../../shared-lib/picture/face-registration.ts';
import type { GreyImage } from '../../../shared-lib/picture/grey-image.ts';
import { paintDisc } from './paint-disc.ts';

const size = { width: 320, height: 300 };
const still = { xPx: 150.37, yPx: 140.81, aPx: 80, bPx: 80, thetaRad: 0, turnRad: 0 };
const rimAt = (xPx: number, yPx: number): Rim => ({ xPx, yPx, aPx: 80, bPx: 80, thetaRad: 0 });

/** A dark disc with faint markings, and the bright end of a sleeve from its middle to a place beside it. */
function darkDisc(xPx: number, yPx: number, end: readonly [number, number] | null, seed: number): GreyImage {
  const picture = paintDisc({
    ...size,
    disc: { ...still, xPx, yPx },
    noise: 1,
    seed,
    contrast: 0.2,
    brightness: 20,
  });
  if (!end) return picture;
  const length = Math.hypot(...end);
  for (let y = 0; y < size.height; y++)
    for (let x = 0; x < size.width; x++) {
      const along = ((x - xPx) * end[0] + (y - yPx) * end[1]) / length;
      const across = ((x - xPx) * end[1] - (y - yPx) * end[0]) / length;
      if (along > 0 && along < length && Math.abs(across) < 9) picture.data[y * size.width + x] = 220;
    }
  return picture;
}

describe('a sleeve before a face', () => {
  const template = faceTemplate(darkDisc(still.xPx, still.yPx, [30, -22], 1), rimAt(still.xPx, still.yPx));
  const bare = faceTemplate(darkDisc(still.xPx, still.yPx, null, 1), rimAt(still.xPx, still.yPx));

  it('is left out of the template, and nothing where there is none', () => {
    const left = template.grey.filter((level) => level > 150).length;
    expect(left).toBe(0);
    const taken = 1 - template.grey.length / bare.grey.length;
    expect(taken).toBeGreaterThan(0.02);
    expect(taken).toBeLessThan(0.12);
  });

  it('neither draws a dark face along nor makes it unlike itself where it is seen from elsewhere', () => {
    const [xPx, yPx] = [152.2, 138.1];
    const face = registerFace(darkDisc(xPx, yPx, [12, 36], 2), template, rimAt(151, 140), 0)!;
    expect(Math.abs(151 + face.dxPx - xPx)).toBeLessThan(0.2);
    expect(Math.abs(140 + face.dyPx - yPx)).toBeLessThan(0.2);
    expect(face.correlation).toBeGreaterThan(0.9);
  });

  it('does not pass for the face: elsewhere it is no likeness', () => {
    const elsewhere = darkDisc(still.xPx, still.yPx, [30, -22], 3);
    const there = registerFace(elsewhere, template, rimAt(still.xPx + 9, still.yPx - 24), 0);
    if (there && Math.hypot(9 + there.dxPx, -24 + there.dyPx) > 2)
      expect(there.correlation).toBeLessThan(0.5);
  });
});
