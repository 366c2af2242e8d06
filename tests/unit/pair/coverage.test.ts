import { beforeAll, describe, expect, it } from 'vitest';
import type { Lift } from '../../../shared-lib/contract/lift.ts';
import type { MeasureName } from '../../../shared-lib/contract/measures.ts';
import type { Rep } from './simulate.ts';
import {
  anyDiffers,
  binomial3,
  comparePairs,
  differs,
  held,
  heldTogether,
  singleCoverage,
  type Trial,
} from './trials.ts';

/**
 * Reps with known measures are filmed with errors drawn from the model, 210 pairs in all. With few draws the ends of an
 * interval scatter, so that a 95 % interval from n draws holds (n - 1) / (n + 1) of that: the longer version in
 * tests/bench/coverage.ts has many.
 */
const pairsPerCase = 35;
const draws = 120;
const expected = (0.95 * (draws - 1)) / (draws + 1);

/** About one and a half times the difference worth acting on, in measures that are called. */
const planted: Record<Lift, { rep: Partial<Rep>; called: readonly MeasureName[] }> = {
  squat: {
    rep: { bottomX: 0.06, lockoutX: 0.02, descentS: 2 },
    called: ['drift_bottom_m', 'drift_lockout_m', 'descent_s'],
  },
  bench: {
    rep: { bottomX: 0.11, bellyX: -0.052, pauseS: 1.15 },
    called: ['drift_bottom_m', 'bow_m', 'pause_s'],
  },
  deadlift: { rep: { bellyX: 0.066, sagM: 0.027 }, called: ['drift_max_m', 'sag_m'] },
};

const lifts = ['squat', 'bench', 'deadlift'] as const;
const run = (lift: Lift, rep: Partial<Rep>, same: boolean, seed: number) =>
  comparePairs(lift, rep, { camera: same, disc: same }, { n: pairsPerCase, draws, seed });

describe('calls over many simulated pairs', () => {
  let unchanged: Trial[][];
  let changed: Trial[][];
  let all: Trial[];
  beforeAll(() => {
    unchanged = lifts.map((lift, i) => run(lift, {}, false, 100 + i));
    changed = lifts.map((lift, i) => run(lift, planted[lift].rep, true, 200 + i));
    all = [...unchanged, ...changed].flat();
  });

  it('hold all headline differences at once in 95 % of the pairs, within the binomial error', () => {
    expect(all.length).toBe(210);
    expect(heldTogether(all)).toBeGreaterThan(expected - binomial3(expected, all.length));
    expect(held(all)).toBeGreaterThan(0.97);
  });

  it('carry a false call in at most 5 % of the pairs in which nothing changed, within the binomial error', () => {
    const none = unchanged.flat();
    expect(anyDiffers(none)).toBeLessThanOrEqual(0.05 + binomial3(0.05, none.length));
  });

  it('find a planted difference of one and a half times what is worth acting on in most pairs', () => {
    lifts.forEach((lift, i) => {
      for (const name of planted[lift].called)
        expect(differs(changed[i], name), `${lift} ${name}`).toBeGreaterThan(0.8);
    });
  });
});

describe('intervals of single reps', () => {
  it('hold the true measures in 95 % of the clips, within the binomial error', () => {
    const n = 60;
    const names = [
      'drift_bottom_m',
      'depth_m',
      'descent_s',
      'mean_drive_mps',
      'slowest_mps',
      'sag_m',
    ] as const;
    const shares = singleCoverage('squat', names, { n, draws, seed: 300 });
    // Single intervals miss more often than shares of many do: the binomial error of 60 clips is 8.4 %.
    for (const [name, share] of shares) expect(share, name).toBeGreaterThan(expected - binomial3(0.95, n));
  });
});
