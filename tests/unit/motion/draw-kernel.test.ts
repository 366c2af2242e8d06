import fc from 'fast-check';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import type { Motion, PlaneTrace } from '../../../shared-lib/contract/motion.ts';
import { drawKernel, useDrawKernel } from '../../../shared-lib/motion/draw-kernel.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import { smoothTrace } from '../../../shared-lib/motion/smoother.ts';
import { smoothingByEvidence } from '../../../shared-lib/motion/smoothing-by-evidence.ts';
import { compiledKernels } from '../picture/compiled-kernels.ts';
import { losing, noisy, traceOf } from './traces.ts';

let compiled: unknown;
beforeAll(async () => {
  compiled = await compiledKernels();
});
afterEach(() => useDrawKernel(null));
afterAll(() => useDrawKernel(null));

const lift = (n: number, seed: number): PlaneTrace =>
  noisy(
    traceOf(
      (t) => 0.3 * Math.sin(3 * t),
      n,
      60,
      0.001,
      (i) => (i + 0.2 * Math.sin(i)) / 60,
    ),
    0.001,
    0.3,
    seededRandom(seed),
  );

/** What stays of a motion when the next is drawn. */
const kept = ({ xM, yM, vxMps, vyMps }: Motion) => [xM, yM, vxMps, vyMps].map((values) => values.slice());

const remeasured = (traces: readonly PlaneTrace[], times: number) => {
  const random = seededRandom(4);
  const each = traces.map((trace) => smoothTrace(trace, smoothingByEvidence(trace)));
  return Array.from({ length: times }, () =>
    each.map((smoothed) => kept(smoothed.remeasure(0.0003 * random.uniform(), random))),
  ).flat();
};

describe('draws in compiled code', () => {
  it('are the normals of the plain code to the bit, one at a time and many at once, one left over or none', () => {
    fc.assert(
      fc.property(
        fc.integer(),
        fc.array(fc.integer({ min: 0, max: 40 }), { minLength: 1, maxLength: 12 }),
        (seed, counts) => {
          const drawn = () => {
            const random = seededRandom(seed);
            return counts.flatMap((count) => [...random.normals(count), random.uniform(), random.normal()]);
          };
          const plain = drawn();
          useDrawKernel(compiled);
          const same = drawn();
          useDrawKernel(null);
          expect(same).toEqual(plain);
        },
      ),
    );
  });

  it('measure a motion again as the plain code does, to the bit, with samples lost inside and at the ends', () => {
    const traces = [
      lift(181, 1),
      losing(lift(240, 2), 100, 112),
      losing(lift(150, 3), 0, 7),
      losing(lift(150, 5), 140, 150),
    ];
    const plain = remeasured(traces, 3);
    useDrawKernel(compiled);
    expect(remeasured(traces, 3)).toEqual(plain);
  });

  it('keep more motions apart than they have room for at once', () => {
    const traces = Array.from({ length: 9 }, (_, k) => lift(100 + 7 * k, k));
    const plain = remeasured(traces, 2);
    useDrawKernel(compiled);
    expect(drawKernel()!.held).toBeLessThan(traces.length);
    expect(remeasured(traces, 2)).toEqual(plain);
  });

  it('leave what is too long for them, or comes in pieces, to the plain code', () => {
    useDrawKernel(compiled);
    const { most, motionIn } = drawKernel()!;
    const random = seededRandom(1);
    for (const trace of [lift(most + 1, 1), losing(lift(300, 2), 100, 190)]) {
      const { xM } = smoothTrace(trace, smoothingByEvidence(trace)).remeasure(0.0003, random);
      expect(xM.buffer).not.toBe(motionIn.xM.buffer);
      expect(xM.some(Number.isFinite)).toBe(true);
    }
  });
});
