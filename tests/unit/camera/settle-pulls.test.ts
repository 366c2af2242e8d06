import { afterAll, expect, it } from 'vitest';
import fc from 'fast-check';
import {
  nudged,
  pullsOnCentre,
  pullsOnShape,
  useSettleKernel,
} from '../../../shared-lib/camera/settle-pulls.ts';
import { compiledKernels } from '../picture/compiled-kernels.ts';
import {
  centre,
  edgesAnywhere,
  outlinesOf,
  radiusOf,
  someKernelPx,
  somePose,
  someShares,
  type Pose,
} from './edges-anywhere.ts';

afterAll(() => useSettleKernel(null));

const { xPx, yPx } = centre;

function curvesOf(pose: Pose, shares: readonly number[]) {
  const outlines = outlinesOf(pose, shares);
  return nudged((x, y) => outlines({ xPx: x, yPx: y }), xPx, yPx);
}

it('gives in compiled code what the plain code gives, to the bit', async () => {
  const compiled = await compiledKernels();
  fc.assert(
    fc.property(somePose, someShares, someKernelPx, fc.integer(), (pose, shares, kernelPx, seed) => {
      const edges = edgesAnywhere(seed, radiusOf(pose));
      const curves = curvesOf(pose, shares);
      useSettleKernel(null);
      const onCentre = pullsOnCentre(edges, curves, kernelPx);
      const onShape = pullsOnShape(edges, curves, kernelPx, xPx + 0.3, yPx - 0.2);
      useSettleKernel(compiled);
      expect(pullsOnCentre(edges, curves, kernelPx)).toEqual(onCentre);
      expect(pullsOnShape(edges, curves, kernelPx, xPx + 0.3, yPx - 0.2)).toEqual(onShape);
      expect(onCentre.shown).toBeGreaterThan(0);
      expect(onCentre.shownIn.some((share) => share > 0)).toBe(true);
      expect(onShape.moments.every((moment) => moment !== 0)).toBe(true);
    }),
  );
});

it('takes them by the plain code where there are more curves than the compiled code holds', async () => {
  const edges = edgesAnywhere(1, 90);
  const curves = curvesOf(
    [0.2, 0.1, 1200, 3, 0.1],
    Array.from({ length: 30 }, (_, k) => 0.35 + 0.02 * k),
  );
  useSettleKernel(null);
  const [onCentre, onShape] = [pullsOnCentre(edges, curves, 1), pullsOnShape(edges, curves, 1, xPx, yPx)];
  useSettleKernel(await compiledKernels());
  expect(pullsOnCentre(edges, curves, 1)).toEqual(onCentre);
  expect(pullsOnShape(edges, curves, 1, xPx, yPx)).toEqual(onShape);
});
