import { afterAll, expect, it } from 'vitest';
import fc from 'fast-check';
import { cropDisc, useCropKernel } from '../../../shared-lib/picture/disc-crop.ts';
import { compiledKernels } from './compiled-kernels.ts';
import { noiseInMemory } from './pictures-in-memory.ts';

afterAll(() => useCropKernel(null));

it('takes the same means in compiled code as in plain code, within the picture and beyond its border', async () => {
  const compiled = await compiledKernels();
  const image = noiseInMemory(compiled, 160, 120);
  const { width, height } = image;
  const place = (most: number) => fc.double({ min: -60, max: most + 60, noNaN: true });
  fc.assert(
    fc.property(
      place(width),
      place(height),
      fc.double({ min: 3, max: 90, noNaN: true }),
      fc.integer({ min: 1, max: 12 }),
      fc.integer({ min: 1, max: 3 }),
      (xPx, yPx, halfPx, factor, pitch) => {
        useCropKernel(null);
        const plain = cropDisc(image, xPx, yPx, halfPx, factor, pitch);
        useCropKernel(compiled);
        expect(cropDisc(image, xPx, yPx, halfPx, factor, pitch)).toEqual(plain);
      },
    ),
  );
});

it('takes them by the plain code of a picture that lies elsewhere', async () => {
  const image = { width: 40, height: 30, data: Uint8Array.from({ length: 1200 }, (_, at) => at % 251) };
  useCropKernel(null);
  const plain = cropDisc(image, 20, 15, 8, 2);
  useCropKernel(await compiledKernels());
  expect(cropDisc(image, 20, 15, 8, 2)).toEqual(plain);
});
