import fc from 'fast-check';
import { afterAll, expect, it } from 'vitest';
import { blockSums, useBlockSumsKernel } from '../../../shared-lib/picture/block-sums.ts';
import { compiledKernels } from './compiled-kernels.ts';
import { noiseInMemory } from './pictures-in-memory.ts';

afterAll(() => useBlockSumsKernel(null));

it('adds up whole blocks, row by row, and leaves out what fills none', () => {
  // Two blocks by one, a column and a row over.
  const [width, height] = [17, 9];
  const data = Uint8Array.from({ length: width * height }, (_, at) => (at % width < 8 ? 255 : at % 2));
  expect([...blockSums({ width, height, data })]).toEqual([255 * 64, 32]);
  expect(blockSums({ width: 7, height: 7, data: new Uint8Array(49) })).toHaveLength(0);
});

it('comes to the same in compiled code', async () => {
  const compiled = await compiledKernels();
  const side = fc.integer({ min: 1, max: 70 });
  fc.assert(
    fc.property(side, side, fc.constantFrom(0, 7), (width, height, brighter) => {
      const image = noiseInMemory(compiled, width, height);
      image.data.forEach((v, at) => (image.data[at] = v | (255 >> brighter)));
      useBlockSumsKernel(null);
      const plain = blockSums(image);
      useBlockSumsKernel(compiled);
      expect(blockSums(image)).toEqual(plain);
      expect(blockSums({ ...image, data: image.data.slice() })).toEqual(plain);
    }),
  );
});
