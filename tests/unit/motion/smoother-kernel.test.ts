import fc from 'fast-check';
import { afterEach, beforeAll, describe, expect, it } from 'vitest';
import { barModel } from '../../../shared-lib/motion/bar-model.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import {
  gainsOf,
  smoothedMean,
  smoothValues,
  spreadOf,
  useSmootherKernel,
} from '../../../shared-lib/motion/state-smoother.ts';
import { compiledKernels } from '../picture/compiled-kernels.ts';

let compiled: unknown;
beforeAll(async () => {
  compiled = await compiledKernels();
});
afterEach(() => useSmootherKernel(null));

/** Uneven times, some of them the same, a tenth of the samples without a measurement. */
function measured(n: number, seed: number) {
  const random = seededRandom(seed);
  let t = 0;
  const tS = Float64Array.from(
    { length: n },
    () => (t += random.uniform() < 0.05 ? 0 : random.uniform() / 30),
  );
  const variances = tS.map(() => (random.uniform() < 0.1 ? Infinity : 0.5 + random.uniform()));
  const jerk = tS.map(() => Math.exp(3 * random.normal()));
  const y = tS.map((at, i) => (variances[i] < Infinity ? 5 * Math.sin(at) + random.normal() : NaN));
  return { model: barModel(tS, 2), variances, jerk, y };
}

/** Two motions in turn, so that neither's figures lie there when they are asked for again. */
function smoothed(n: number, seed: number) {
  const each = [measured(n, seed), measured(n + 3, seed + 1)];
  const gains = each.map(({ model, variances, jerk }) => gainsOf(model, variances, jerk));
  return {
    gains: gains.map(({ predicted, gain, innovation }) => ({ predicted, gain, innovation })),
    said: each.map(({ y }, k) => smoothValues(gains[k], y)),
    spreads: gains.map(spreadOf),
    means: each.map(({ y }, k) => smoothedMean(gains[k], y)),
  };
}

describe('the smoother in compiled code', () => {
  it('says what the plain code says, to the bit', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 90 }), fc.integer(), (n, seed) => {
        useSmootherKernel(null);
        const plain = smoothed(n, seed);
        useSmootherKernel(compiled);
        expect(smoothed(n, seed)).toEqual(plain);
      }),
      { numRuns: 60 },
    );
  });

  it('leaves what is too long for it to the plain code', () => {
    const plain = smoothed(9000, 1);
    useSmootherKernel(compiled);
    expect(smoothed(9000, 1).means[0][4 * 8999]).toBe(plain.means[0][4 * 8999]);
    expect(smoothed(9000, 1).spreads).toEqual(plain.spreads);
  });
});
