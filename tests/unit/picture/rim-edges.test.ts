import { afterAll, expect, it } from 'vitest';
import fc from 'fast-check';
import { findRimEdges, useRimKernel, withinReach } from '../../../shared-lib/picture/rim-edges.ts';
import { compiledKernels } from './compiled-kernels.ts';
import { paintDisc } from './paint-disc.ts';

afterAll(() => useRimKernel(null));

it('gives in compiled code what the plain code gives, to the bit, and finds the rim', async () => {
  const compiled = await compiledKernels();
  const disc = { xPx: 150.3, yPx: 140.6, aPx: 61, bPx: 61, thetaRad: 0, turnRad: 0 };
  const image = paintDisc({ width: 300, height: 300, disc, noise: 4 });
  const share = (most: number) => fc.double({ min: -most, max: most, noNaN: true });
  fc.assert(
    fc.property(
      share(0.1),
      share(0.7),
      fc.constantFrom(32, 72, 128),
      fc.constantFrom(0.75, 0.93, 1),
      share(9),
      (dx, growth, rays, ratio, smearXPx) => {
        const aPx = disc.aPx * (1 + growth);
        const rim = { ...disc, xPx: disc.xPx + dx * disc.aPx, aPx, bPx: aPx * ratio, thetaRad: dx };
        const options = { rays, searchPx: 0.26 * aPx, smearXPx, smearYPx: 1, minStep: 4 };
        useRimKernel(null);
        const plain = findRimEdges(image, rim, options);
        useRimKernel(compiled);
        const [there] = withinReach([image]);
        expect(there.data.buffer).not.toBe(image.data.buffer);
        expect(findRimEdges(there, rim, options)).toEqual(plain);
        // Where it was found before is written over whole.
        const other = findRimEdges(there, { ...rim, aPx: 20, bPx: 20 }, options);
        expect(findRimEdges(there, rim, options, other)).toEqual(plain);
        if (Math.abs(growth) > 0.1 || Math.abs(smearXPx) > 3 || ratio < 1) return;
        const found = Array.from({ length: rays }, (_, i) => plain.offsetPx[4 * i]).sort((a, b) => a - b);
        expect(Math.abs(found[rays >> 1] + growth * disc.aPx)).toBeLessThan(1);
      },
    ),
  );
});

it('leaves pictures where they are for which there is no room, and looks at them by the plain code', async () => {
  useRimKernel(await compiledKernels());
  const disc = { xPx: 150, yPx: 150, aPx: 70, bPx: 70, thetaRad: 0, turnRad: 0 };
  const image = paintDisc({ width: 300, height: 300, disc, noise: 4 });
  const large = { width: 4000, height: 4000, data: new Uint8Array(16e6) };
  expect(withinReach([large, image]).map(({ data }) => data === large.data)).toEqual([true, false]);
  const options = { rays: 72, searchPx: 15, smearXPx: 0, smearYPx: 0, minStep: 4 };
  expect(findRimEdges(image, disc, options)).toEqual(findRimEdges(withinReach([image])[0], disc, options));
});
