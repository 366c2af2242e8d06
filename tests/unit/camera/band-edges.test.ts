import { afterAll, expect, it } from 'vitest';
import fc from 'fast-check';
import { useBandKernel } from '../../../shared-lib/camera/band-edges.ts';
import { edgesOf, rays } from '../../../shared-lib/camera/disc-outline.ts';
import { useRimKernel, withinReach } from '../../../shared-lib/picture/rim-edges.ts';
import { compiledKernels } from '../picture/compiled-kernels.ts';
import { paintDisc } from '../picture/paint-disc.ts';

afterAll(() => {
  useRimKernel(null);
  useBandKernel(null, rays);
});

it("finds a view's edges in compiled code as in plain code, to the bit", async () => {
  const compiled = await compiledKernels();
  const disc = { xPx: 150.3, yPx: 140.6, aPx: 61, bPx: 55, thetaRad: 0.3, turnRad: 0 };
  const image = paintDisc({ width: 300, height: 300, disc, noise: 4 });
  const share = (most: number) => fc.double({ min: -most, max: most, noNaN: true });
  fc.assert(
    fc.property(
      share(0.3),
      share(0.5),
      fc.constantFrom(0.75, 0.93, 1),
      share(9),
      fc.constantFrom(1, 1.2, Infinity),
      (dx, growth, ratio, smearXPx, reach) => {
        const aPx = disc.aPx * (1 + growth);
        const rim = { ...disc, xPx: 40.25 + disc.xPx + dx * disc.aPx, aPx, bPx: aPx * ratio, thetaRad: dx };
        const smear = { smearXPx, smearYPx: 1 };
        const view = { frame: 0, ring: rim, x0Px: 40.25, y0Px: 0, image };
        useRimKernel(null);
        useBandKernel(null, rays);
        const plain = edgesOf(view, rim, smear, reach);
        expect(plain.xPx.length).toBeGreaterThan(rays / 2);
        useRimKernel(compiled);
        useBandKernel(compiled, rays);
        const [there] = withinReach([image]);
        expect(there.data.buffer).not.toBe(image.data.buffer);
        expect(edgesOf({ ...view, image: there }, rim, smear, reach)).toEqual(plain);
        expect(edgesOf(view, rim, smear, reach)).toEqual(plain);
      },
    ),
  );
});
