import fc from 'fast-check';
import { afterAll, expect, it } from 'vitest';
import { lightAt } from '../../../shared-lib/picture/light.ts';
import {
  addToPolarMean,
  emptyPolarMean,
  multipleAt,
  polarAngles,
  polarCosine,
  polarRadii,
  polarSine,
  usePolarKernel,
} from '../../../shared-lib/picture/polar-mean.ts';
import { compiledKernels } from './compiled-kernels.ts';
import { noiseInMemory } from './pictures-in-memory.ts';

afterAll(() => usePolarKernel(null));

const place = fc.double({ min: -20, max: 190, noNaN: true });
const size = fc.double({ min: 2, max: 60, noNaN: true });

it('adds the light between pixels along rays, as far as the picture goes', async () => {
  const image = noiseInMemory(await compiledKernels(), 160, 120);
  const mean = emptyPolarMean(20);
  addToPolarMean(mean, image, 70.3, 61.8, 1.1);
  addToPolarMean(mean, image, 70.3, 61.8, 1.1);
  expect(mean.pictures).toBe(2);
  for (const angle of [0, 17, 40, polarAngles - 1])
    for (let radius = 0; radius < polarRadii; radius += 7) {
      const away = 20 * 1.1 * multipleAt(radius);
      const light = lightAt(image, 70.3 + away * polarCosine(angle), 61.8 + away * polarSine(angle));
      const cell = angle * polarRadii + radius;
      expect(mean.looked[cell]).toBe(Number.isNaN(light) ? 0 : 2);
      expect(mean.light[cell]).toBeCloseTo(2 * (light || 0), 4);
    }
});

it('comes to the same in compiled code', async () => {
  const compiled = await compiledKernels();
  const image = noiseInMemory(compiled, 170, 130);
  fc.assert(
    fc.property(place, place, size, fc.double({ min: 0.8, max: 1.2, noNaN: true }), (x, y, unitPx, scale) => {
      const after = (kernel: unknown) => {
        usePolarKernel(kernel);
        const mean = emptyPolarMean(unitPx);
        addToPolarMean(mean, image, x, y, scale);
        addToPolarMean(mean, image, x + 0.4, y - 0.3, 1);
        return mean;
      };
      expect(after(compiled)).toEqual(after(null));
    }),
    { numRuns: 20 },
  );
});
