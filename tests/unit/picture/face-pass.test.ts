import { afterAll, expect, it } from 'vitest';
import fc from 'fast-check';
import { useFaceKernel } from '../../../shared-lib/picture/face-pass.ts';
import { faceTemplate, registerFace } from '../../../shared-lib/picture/face-registration.ts';
import { compiledKernels } from './compiled-kernels.ts';
import { paintDisc } from './paint-disc.ts';

afterAll(() => useFaceKernel(null));

it('gives in compiled code what the plain code gives, to the bit, and finds the face', async () => {
  const compiled = await compiledKernels();
  const disc = { xPx: 150.3, yPx: 140.6, aPx: 82, bPx: 82, thetaRad: 0, turnRad: 0.02 };
  const image = paintDisc({ width: 300, height: 300, disc, noise: 4 });
  const turned = paintDisc({ width: 300, height: 300, disc: { ...disc, turnRad: 0.1 }, seed: 2, noise: 4 });
  const share = (most: number) => fc.double({ min: -most, max: most, noNaN: true });
  fc.assert(
    fc.property(
      share(3),
      share(3),
      fc.constantFrom(0.75, 0.93, 1),
      fc.integer({ min: 0, max: 1 }),
      (dx, dy, ratio, which) => {
        const template = faceTemplate(image, disc);
        const expected = { ...disc, xPx: disc.xPx + dx, yPx: disc.yPx + dy, bPx: ratio * disc.bPx };
        const from = [image, turned][which];
        useFaceKernel(null);
        const plain = registerFace(from, template, expected, 0);
        useFaceKernel(compiled);
        expect(registerFace(from, template, expected, 0)).toEqual(plain);
        if (ratio < 1) return;
        expect(Math.abs(expected.xPx + plain!.dxPx - disc.xPx)).toBeLessThan(0.2);
        expect(Math.abs(expected.yPx + plain!.dyPx - disc.yPx)).toBeLessThan(0.2);
        expect(plain!.turnRad).toBeCloseTo([0, 0.08][which], 2);
      },
    ),
  );
});

it('goes over faces by the plain code that are larger than the compiled code holds', async () => {
  const disc = { xPx: 150, yPx: 150, aPx: 70, bPx: 70, thetaRad: 0, turnRad: 0 };
  const image = paintDisc({ width: 300, height: 300, disc, noise: 4 });
  const template = { ...faceTemplate(image, disc), factor: 1 };
  useFaceKernel(null);
  const plain = registerFace(image, template, { ...disc, aPx: 130, bPx: 130 }, 0);
  useFaceKernel(await compiledKernels());
  expect(registerFace(image, template, { ...disc, aPx: 130, bPx: 130 }, 0)).toEqual(plain);
});
