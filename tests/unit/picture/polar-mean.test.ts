import { afterAll, expect, it } from 'vitest';
import fc from 'fast-check';
import {
  addToPolarMean,
  emptyPolarMean,
  usePolarKernel,
  type PolarMean,
} from '../../../shared-lib/picture/polar-mean.ts';
import { compiledKernels } from './compiled-kernels.ts';
import { noiseInMemory } from './pictures-in-memory.ts';

afterAll(() => usePolarKernel(null));

/** Whether two have the same in every cell: a matcher takes long over so many. */
const isSame = (one: PolarMean, other: PolarMean): boolean =>
  one.pictures === other.pictures &&
  one.light.every((sum, cell) => sum === other.light[cell]) &&
  one.looked.every((count, cell) => count === other.looked[cell]);

it('adds in compiled code what the plain code adds, to the bit, as far as the picture goes', async () => {
  const compiled = await compiledKernels();
  const image = noiseInMemory(compiled, 160, 120);
  const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
  fc.assert(
    fc.property(
      fc.tuple(between(-30, 190), between(-30, 150)),
      between(4, 60),
      between(0.7, 1.4),
      ([xPx, yPx], unitPx, scale) => {
        const added = (): PolarMean => {
          const mean = emptyPolarMean(unitPx);
          addToPolarMean(mean, image, xPx, yPx, scale);
          addToPolarMean(mean, image, xPx + 3.3, yPx - 2.1, scale * 1.01);
          return mean;
        };
        usePolarKernel(null);
        const plain = added();
        usePolarKernel(compiled);
        expect(isSame(added(), plain)).toBe(true);
        if (xPx > 5 && yPx > 5 && xPx < 150 && yPx < 110)
          expect(plain.light.some((sum) => sum > 0)).toBe(true);
        // One that lies elsewhere is looked at by the plain code.
        const elsewhere = emptyPolarMean(unitPx);
        addToPolarMean(elsewhere, { ...image, data: image.data.slice() }, xPx, yPx, scale);
        addToPolarMean(elsewhere, image, xPx + 3.3, yPx - 2.1, scale * 1.01);
        expect(isSame(elsewhere, plain)).toBe(true);
      },
    ),
  );
});
