import { afterAll, expect, it } from 'vitest';
import fc from 'fast-check';
import { useCutKernel } from '../../../shared-lib/picture/cut-kernel.ts';
import type { GreyImage } from '../../../shared-lib/picture/grey-image.ts';
import { takeSquare, unchangedShare } from '../../../shared-lib/picture/shown-square.ts';
import { viewOf } from '../../../shared-lib/trace/disc-views.ts';
import { compiledKernels } from './compiled-kernels.ts';
import { noiseInMemory } from './pictures-in-memory.ts';

afterAll(() => useCutKernel(null));

const place = (most: number) => fc.double({ min: -20, max: most + 20, noNaN: true });

it('takes the same squares in compiled code as in plain code, and finds as much of them again', async () => {
  const compiled = await compiledKernels();
  const image = noiseInMemory(compiled, 160, 120);
  const { width, height } = image;
  // The levels of a later picture, of which about a third are as they were.
  const later: GreyImage = { width, height, data: image.data.map((v, at) => (at % 3 === 0 ? v : v >> 1)) };
  fc.assert(
    fc.property(place(width), place(height), fc.integer({ min: 1, max: 70 }), (xPx, yPx, side) => {
      useCutKernel(null);
      const plain = takeSquare(image, xPx, yPx, side, null);
      const ofLater = takeSquare(later, xPx, yPx, side, null);
      const share = unchangedShare(ofLater, image);
      useCutKernel(compiled);
      expect(takeSquare(image, xPx, yPx, side, null)).toEqual(plain);
      expect(unchangedShare(plain, image)).toBe(1);
      expect(unchangedShare(ofLater, image)).toBe(share);
    }),
  );
});

it('cuts the same views out of pictures, at their borders and of those that lie elsewhere, too', async () => {
  const compiled = await compiledKernels();
  const held = noiseInMemory(compiled, 160, 120);
  const elsewhere = { ...held, data: held.data.slice() };
  fc.assert(
    fc.property(
      place(held.width),
      place(held.height),
      fc.double({ min: 2, max: 60, noNaN: true }),
      (xPx, yPx, aPx) => {
        const ring = { xPx, yPx, aPx, bPx: aPx, thetaRad: 0 };
        useCutKernel(null);
        const plain = viewOf(held, ring, 7);
        useCutKernel(compiled);
        expect(viewOf(held, ring, 7)).toEqual(plain);
        expect(viewOf(elsewhere, ring, 7)).toEqual(plain);
      },
    ),
  );
});
