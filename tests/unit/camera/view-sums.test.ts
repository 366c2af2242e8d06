import { afterAll, expect, it } from 'vitest';
import fc from 'fast-check';
import { outlinesOn, rays, type DiscEdges } from '../../../shared-lib/camera/disc-outline.ts';
import { normalOf } from '../../../shared-lib/camera/pinhole.ts';
import {
  centreStepPx,
  difference,
  ofAllCurves,
  ringStep,
  usePoseKernel,
  viewSums,
  type ChangedOutlines,
} from '../../../shared-lib/camera/view-sums.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import { compiledKernels } from '../picture/compiled-kernels.ts';

afterAll(() => usePoseKernel(null));

const centre = { xPx: 700, yPx: 420 };
/** A pose in the order of the parameters, with as many rings. */
type Pose = [yaw: number, pitch: number, focalPx: number, distanceM: number, thicknessM: number];

function outlinesOf([yaw, pitch, focalPx, distanceM, thicknessM]: Pose, shares: readonly number[], outM = 0) {
  const lens = { focalPx, cxPx: 959.5, cyPx: 539.5 };
  const rings = shares.map((share) => ({ share, outM }));
  return outlinesOn(lens, { normal: normalOf(yaw, pitch), distanceM }, 0.225, thicknessM, rings);
}

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

/** On each ray some points anywhere out to beyond the rim. */
function edgesAnywhere(seed: number, radiusPx: number): DiscEdges {
  const random = seededRandom(seed);
  const [xPx, yPx, weight]: number[][] = [[], [], []];
  const first = [0];
  for (let i = 0; i < rays; i++) {
    const points = Math.floor(20 * random.uniform());
    for (let k = 0; k < points; k++) {
      const r = 1.4 * radiusPx * random.uniform();
      const phi = (2 * Math.PI * i) / rays;
      xPx.push(centre.xPx + r * Math.cos(phi));
      yPx.push(centre.yPx + r * Math.sin(phi));
      weight.push(random.uniform());
    }
    first.push(xPx.length);
  }
  const [x, y, w] = [xPx, yPx, weight].map((of) => Float64Array.from(of));
  return { xPx: x, yPx: y, weight: w, first: Int32Array.from(first), densityPerPx: 0.05 };
}

it('gives in compiled code what the plain code gives, to the bit', async () => {
  const compiled = await compiledKernels();
  const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
  fc.assert(
    fc.property(
      fc.tuple(between(-0.6, 0.6), between(-0.3, 0.3), between(900, 2000), between(2, 4), between(0, 0.3)),
      fc.array(between(0.3, 0.97), { maxLength: 8 }),
      between(0.8, 8),
      fc.boolean(),
      fc.boolean(),
      fc.integer(),
      (pose, shares, kernelPx, isFine, isScored, seed) => {
        const edges = edgesAnywhere(seed, (0.225 * pose[2]) / pose[3]);
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
