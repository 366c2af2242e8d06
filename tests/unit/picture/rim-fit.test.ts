import { afterAll, expect, it } from 'vitest';
import fc from 'fast-check';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import { findRimEdges, type RimEdges } from '../../../shared-lib/picture/rim-edges.ts';
import { fitRimShift, useRimFitKernel } from '../../../shared-lib/picture/rim-fit.ts';
import { compiledKernels } from './compiled-kernels.ts';
import { paintDisc } from './paint-disc.ts';

afterAll(() => useRimFitKernel(null));

const disc = { xPx: 150.3, yPx: 140.6, aPx: 61, bPx: 60, thetaRad: 0.3, turnRad: 0 };
const image = paintDisc({ width: 300, height: 300, disc, noise: 6, occluder: (x) => x > 170 && x < 190 });
const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });

const edgesFrom = (dx: number, dy: number, growth: number, rays: number): RimEdges => {
  const [aPx, bPx] = [disc.aPx * (1 + growth), disc.bPx * (1 + growth)];
  const rim = { ...disc, xPx: disc.xPx + dx, yPx: disc.yPx + dy, aPx, bPx };
  return findRimEdges(image, rim, { rays, searchPx: 13, smearXPx: 2, smearYPx: 1, minStep: 3 });
};

it('gives in compiled code what the plain code gives, to the bit', async () => {
  const compiled = await compiledKernels();
  const found = { fits: 0, nulls: 0 };
  fc.assert(
    fc.property(
      fc.tuple(between(-14, 14), between(-14, 14), between(-0.1, 0.1)),
      fc.constantFrom(32, 72, 128),
      fc.record({
        maxShiftPx: between(1, 16),
        scaleSigma: between(0.001, 0.05),
        shiftSigmaPx: between(1, 9),
        kernelPx: between(0.8, 4),
      }),
      fc.option(between(0.001, 0.02)),
      fc.option(fc.record({ dx: between(-4, 4), dy: between(-4, 4) })),
      fc.option(fc.integer()),
      ([dx, dy, growth], rays, options, stretchSigma, around, seed) => {
        const edges = edgesFrom(dx, dy, growth, rays);
        const random = seededRandom(seed ?? 0);
        // Every fourth ray is hidden whole.
        const trusted = Float64Array.from({ length: rays }, (_, i) => (i % 4 === 0 ? 0 : random.uniform()));
        const asked = {
          ...options,
          ...(stretchSigma === null ? {} : { stretchSigma }),
          ...(around === null ? {} : { around }),
          ...(seed === null ? {} : { trust: trusted }),
        };
        useRimFitKernel(null);
        const plain = fitRimShift(edges, asked);
        useRimFitKernel(compiled);
        expect(fitRimShift(edges, asked)).toEqual(plain);
        found[plain ? 'fits' : 'nulls']++;
      },
    ),
    { numRuns: 300 },
  );
  expect(found.fits).toBeGreaterThan(100);
  expect(found.nulls).toBeGreaterThan(0);
});

it('finds no rim where too few rays meet an edge, and fits more rays than it holds by the plain code', async () => {
  const options = { maxShiftPx: 6, scaleSigma: 0.01, shiftSigmaPx: 6, kernelPx: 1 };
  const edges = edgesFrom(1, -1, 0, 200);
  useRimFitKernel(null);
  const plain = fitRimShift(edges, options);
  useRimFitKernel(await compiledKernels());
  expect(fitRimShift(edges, options)).toEqual(plain);
  expect(plain).not.toBeNull();
  const blank = edgesFrom(1, -1, 0, 72);
  blank.step.fill(0);
  expect(fitRimShift(blank, options)).toBeNull();
});
