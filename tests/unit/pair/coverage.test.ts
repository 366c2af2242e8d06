import { beforeAll, describe, expect, it } from 'vitest';
import { measureNames } from '../../../shared-lib/contract/measures.ts';
import {
  anyDiffers,
  binomial,
  found,
  heldTogether,
  runTrials,
  tallyChanges,
  tallySingles,
  type Trial,
} from './trials.ts';

/**
 * Reps that are known are filmed with errors drawn from the model and with noise of another kind than the analysis takes
 * it to be. The longer version, with each measure by itself, is tests/bench/coverage.ts.
 */
const lifts = ['squat', 'bench', 'deadlift'] as const;
const size = { n: 12, draws: 100 };

describe('stated uncertainty over many simulated pairs', () => {
  let unchanged: Trial[];
  let changed: Trial[];
  let all: Trial[];
  beforeAll(() => {
    unchanged = lifts.flatMap((lift, i) =>
      runTrials({ lift, good: false, sameCamera: false }, { ...size, seed: 300 + i }),
    );
    const change = { squat: 'drift_bottom_m', bench: 'pause_s', deadlift: 'sag_m' } as const;
    changed = lifts.flatMap((lift, i) =>
      runTrials({ lift, good: true, sameCamera: true, change: [change[lift]] }, { ...size, seed: 400 + i }),
    );
    all = [...unchanged, ...changed];
  }, 300_000);

  const pooled = (of: typeof tallySingles): { held: number; n: number } => {
    const tallies = measureNames.map((name) => of(all, name));
    const sum = (values: number[]): number => values.reduce((a, b) => a + b, 0);
    const n = sum(tallies.map((t) => t.n));
    return { held: sum(tallies.map((t) => t.held)) / n, n };
  };

  it('holds the true measures of single reps, and the true changes, in about 95 % of cases', () => {
    // The measures of one clip share its scale and its roll: of the many intervals few are independent.
    for (const { held } of [pooled(tallySingles), pooled(tallyChanges)]) {
      expect(held).toBeGreaterThan(0.93);
      expect(held).toBeLessThan(0.99);
    }
  });

  it('holds each measure no worse than the binomial error allows', () => {
    for (const name of measureNames) {
      for (const t of [tallySingles(all, name), tallyChanges(all, name)])
        expect(t.held / t.n, name).toBeGreaterThan(0.95 - 3.5 * binomial(0.95, t.n));
    }
  });

  it('holds all headline differences at once in 95 % of the pairs, within the binomial error', () => {
    expect(heldTogether(all)).toBeGreaterThan(0.95 - 3 * binomial(0.95, all.length));
  });

  it('carries a false call in at most 5 % of the pairs in which nothing changed, within the binomial error', () => {
    expect(anyDiffers(unchanged)).toBeLessThanOrEqual(0.05 + 3 * binomial(0.05, unchanged.length));
  });

  it('finds a planted difference of one and a half times what is worth acting on in good pairs', () => {
    for (const name of ['drift_bottom_m', 'pause_s', 'sag_m'] as const)
      expect(found(changed, name), name).toBeGreaterThan(0.9 - 2 * binomial(0.9, size.n));
  });
});
