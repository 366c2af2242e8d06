import { afterAll, beforeAll, expect, it } from 'vitest';
import fc from 'fast-check';
import { fitEllipse } from '../../../shared-lib/picture/ellipse-fit.ts';
import { useEllipseKernel } from '../../../shared-lib/picture/ellipse-kernel.ts';
import { findRimEdges } from '../../../shared-lib/picture/rim-edges.ts';
import { fitRimShift } from '../../../shared-lib/picture/rim-fit.ts';
import { ellipseThroughEdges } from '../../../shared-lib/picture/rim-shape.ts';
import { compiledKernels } from './compiled-kernels.ts';
import { paintDisc } from './paint-disc.ts';

let compiled: unknown;
beforeAll(async () => {
  compiled = await compiledKernels();
});
afterAll(() => useEllipseKernel(null));

const inBoth = <Result>(what: () => Result): [plain: Result, byCode: Result] => {
  useEllipseKernel(null);
  const plain = what();
  useEllipseKernel(compiled);
  return [plain, what()];
};
const share = (most: number) => fc.double({ min: -most, max: most, noNaN: true });

it('fits points in compiled code as the plain code does, to the bit', () => {
  const points = fc.array(fc.tuple(share(500), share(500)), { minLength: 4, maxLength: 40 });
  fc.assert(
    fc.property(points, (places) => {
      const [plain, byCode] = inBoth(() =>
        fitEllipse(
          places.map(([x]) => x),
          places.map(([, y]) => y),
        ),
      );
      expect(byCode).toEqual(plain);
    }),
  );
});

it('fits an ellipse through edges, some of them astray, as the plain code does, to the bit', () => {
  const disc = { xPx: 150.3, yPx: 140.6, aPx: 82, bPx: 76, thetaRad: 0.4, turnRad: 0.02 };
  const image = paintDisc({ width: 300, height: 300, disc, noise: 6 });
  const fitting = { maxShiftPx: 6, scaleSigma: 0.02, shiftSigmaPx: 6, kernelPx: 2 };
  fc.assert(
    fc.property(share(3), share(3), fc.double({ min: 0.99, max: 1.01, noNaN: true }), (dx, dy, size) => {
      const rim = { ...disc, xPx: disc.xPx + dx, yPx: disc.yPx + dy, aPx: size * disc.aPx };
      const edges = findRimEdges(image, rim, {
        rays: 128,
        searchPx: 6,
        smearXPx: 0,
        smearYPx: 0,
        minStep: 4,
      });
      const shift = fitRimShift(edges, fitting)!;
      const [plain, byCode] = inBoth(() => ellipseThroughEdges(edges, shift, rim, 3));
      expect(plain!.aPx).toBeCloseTo(disc.aPx, 0);
      expect(byCode).toEqual(plain);
    }),
  );
});

it('goes by the plain code for more points than the compiled code holds', () => {
  const turns = Array.from({ length: 900 }, (_, k) => k * 0.007);
  const [plain, byCode] = inBoth(() =>
    fitEllipse(
      turns.map((turn) => 90 * Math.cos(turn)),
      turns.map((turn) => 70 * Math.sin(turn)),
    ),
  );
  expect(plain!.aPx).toBeCloseTo(90, 6);
  expect(byCode).toEqual(plain);
});
