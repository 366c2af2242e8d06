import { afterAll, expect, it } from 'vitest';
import fc from 'fast-check';
import {
  centreStepPx,
  difference,
  ofAllCurves,
  ringStep,
  usePoseKernel,
  viewSums,
  type ChangedOutlines,
} from '../../../shared-lib/camera/view-sums.ts';
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

afterAll(() => usePoseKernel(null));

function changed(pose: Pose, shares: readonly number[]): ChangedOutlines {
  const here = outlinesOf(pose, shares);
  const grown = shares.map((share) => share + ringStep);
  return {
    here: here(centre),
    by: difference
      .slice(0, ofAllCurves)
      .map((step, a) => outlinesOf(pose.with(a, pose[a] + step) as Pose, shares)(centre)),
    right: here({ ...centre, xPx: centre.xPx + centreStepPx }),
    down: here({ ...centre, yPx: centre.yPx + centreStepPx }),
    first: outlinesOf(pose.with(4, pose[4] + difference[4]) as Pose, grown)(centre),
    second: outlinesOf(pose, shares, ringStep)(centre),
  };
}

it('gives in compiled code what the plain code gives, to the bit', async () => {
  const compiled = await compiledKernels();
  fc.assert(
    fc.property(
      somePose,
      someShares,
      someKernelPx,
      fc.boolean(),
      fc.boolean(),
      fc.integer(),
      (pose, shares, kernelPx, isFine, isScored, seed) => {
        const edges = edgesAnywhere(seed, radiusOf(pose));
        const outlines = changed(pose, shares);
        usePoseKernel(null);
        const plain = viewSums(edges, outlines, kernelPx, isFine, isScored);
        usePoseKernel(compiled);
        expect(viewSums(edges, outlines, kernelPx, isFine, isScored)).toEqual(plain);
        expect(plain.score !== 0).toBe(isScored);
        expect(plain.shown).toBeGreaterThan(0);
        expect(plain.sums.some((sum) => sum !== 0)).toBe(true);
      },
    ),
  );
});

it('goes over views by the plain code that have more curves than the compiled code holds', async () => {
  const edges = edgesAnywhere(1, 90);
  const shares = Array.from({ length: 30 }, (_, k) => 0.35 + 0.02 * k);
  const outlines = changed([0.2, 0.1, 1200, 3, 0.1], shares);
  usePoseKernel(null);
  const plain = viewSums(edges, outlines, 1, true, true);
  usePoseKernel(await compiledKernels());
  expect(viewSums(edges, outlines, 1, true, true)).toEqual(plain);
});
