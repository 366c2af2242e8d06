import { afterAll, expect, it } from 'vitest';
import fc from 'fast-check';
import { findRimEdges } from '../../../shared-lib/picture/rim-edges.ts';
import { useShapeVoteKernel, voteForPlace } from '../../../shared-lib/picture/shape-vote.ts';
import { compiledKernels } from './compiled-kernels.ts';
import { paintDisc } from './paint-disc.ts';

afterAll(() => useShapeVoteKernel(null));

it('gives in compiled code what the plain code gives, to the bit, and finds the disc', async () => {
  const compiled = await compiledKernels();
  const disc = { xPx: 150.3, yPx: 140.6, aPx: 61, bPx: 61, thetaRad: 0, turnRad: 0 };
  const image = paintDisc({ width: 300, height: 300, disc, noise: 4 });
  const share = (most: number) => fc.double({ min: -most, max: most, noNaN: true });
  fc.assert(
    fc.property(
      share(0.1),
      share(0.1),
      share(0.08),
      fc.constantFrom(32, 64, 96),
      fc.constantFrom(0.75, 0.93, 1),
      (dx, dy, growth, rays, ratio) => {
        const aPx = disc.aPx * (1 + growth);
        const from = { xPx: disc.xPx + dx * disc.aPx, yPx: disc.yPx + dy * disc.aPx, aPx, bPx: aPx * ratio };
        const edges = findRimEdges(
          image,
          { ...from, thetaRad: Math.PI / 2 },
          { rays, searchPx: 0.26 * aPx, smearXPx: 0, smearYPx: 0, minStep: 3 },
        );
        const options = { size: aPx, shiftReach: 0.13, growthReach: 0.1, step: 0.03, kernel: 0.035 };
        useShapeVoteKernel(null);
        const plain = voteForPlace(edges, options);
        useShapeVoteKernel(compiled);
        expect(voteForPlace(edges, options)).toEqual(plain);
        if (ratio < 1) return;
        // Steps of 0.03 of the radius: within half of one, and what the kernel's flat top adds.
        expect(Math.abs(from.xPx + plain.dx * aPx - disc.xPx)).toBeLessThan(0.04 * aPx);
        expect(Math.abs(from.yPx + plain.dy * aPx - disc.yPx)).toBeLessThan(0.04 * aPx);
      },
    ),
  );
});
