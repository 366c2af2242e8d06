import { afterAll, expect, it } from 'vitest';
import fc from 'fast-check';
import { ringCounter, useRingKernel } from '../../../shared-lib/camera/ring-count.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import { compiledKernels } from '../picture/compiled-kernels.ts';

afterAll(() => useRingKernel(null));

const bins = { least: 0.35, binShare: 0.004, bins: 193 };

function counted(size: number, seed: number, x: number, y: number): Float64Array {
  const random = seededRandom(seed);
  const { right, down, weight, count } = ringCounter(size, bins);
  for (let i = 0; i < size; i++) {
    right[i] = 2.4 * random.uniform() - 1.2;
    down[i] = 2.4 * random.uniform() - 1.2;
    weight[i] = random.uniform();
  }
  return count(size, x, y).slice();
}

it('counts in compiled code what the plain code counts, to the bit, an odd number of edges as well as an even one', async () => {
  const compiled = await compiledKernels();
  const shift = fc.double({ min: -0.05, max: 0.05, noNaN: true });
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 300 }), fc.integer(), shift, shift, (size, seed, x, y) => {
      useRingKernel(null);
      const plain = counted(size, seed, x, y);
      useRingKernel(compiled);
      expect(counted(size, seed, x, y)).toEqual(plain);
      if (size > 100) expect(plain.some((weight) => weight > 0)).toBe(true);
    }),
  );
});

it('counts by the plain code where there are more edges than the compiled code holds', async () => {
  useRingKernel(null);
  const plain = counted(30_000, 1, 0.01, 0);
  useRingKernel(await compiledKernels());
  expect(counted(30_000, 1, 0.01, 0)).toEqual(plain);
});
