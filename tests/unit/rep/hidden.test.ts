import { describe, expect, it } from 'vitest';
import { measureNames, type MeasureName } from '../../../shared-lib/contract/measures.ts';
import type { RepEvents } from '../../../shared-lib/contract/rep.ts';
import { hiddenMeasures, hiddenSpans, isHidden } from '../../../shared-lib/rep/hidden.ts';
import { anyDiffers, called, heldTogether, runTrials } from '../pair/trials.ts';

/** Sixty samples a second, not measured from one index up to another. */
const planeOf = (n: number, ...gaps: [number, number][]) => ({
  tS: Float64Array.from({ length: n }, (_, i) => i / 60),
  xM: new Float64Array(n),
  yM: new Float64Array(n),
  sxM: new Float64Array(n),
  syM: new Float64Array(n),
  state: Uint8Array.from({ length: n }, (_, i) => Number(gaps.some(([from, to]) => i >= from && i < to))),
});

const press: RepEvents = {
  startS: 1,
  touchS: 2.5,
  bottomS: 2.8,
  pauseStartS: 2.5,
  pauseEndS: 3,
  driveStartS: 3,
  lockoutS: 4.5,
  earlierAttempts: 0,
  rebound: false,
  outcome: { kind: 'completed' },
};
const window = { fromS: 0, toS: 6 };
const withheld = (fromS: number, toS: number) => [...hiddenMeasures([{ fromS, toS }], press, window)];
const stays = (fromS: number, toS: number) =>
  measureNames.filter((name) => !withheld(fromS, toS).includes(name));

describe('hiddenSpans', () => {
  it('are between measured samples, and longer than a quarter of a second', () => {
    expect(hiddenSpans(planeOf(300, [60, 73], [120, 136]))).toEqual([{ fromS: 119 / 60, toS: 136 / 60 }]);
  });

  it('are none at the ends of a clip, where no rep can lie', () => {
    expect(hiddenSpans(planeOf(300, [0, 40], [250, 300]))).toEqual([]);
  });
});

describe('hiddenMeasures', () => {
  it('of a stretch in the drive are those of the drive and the farthest drifts; ends, range and descent stay', () => {
    const gone: MeasureName[] = ['peak_drive_mps', 'slowest_mps', 'sticking_mps', 'sticking_s', 'bow_m', 'stops', 'drift_max_m']; // prettier-ignore
    const there: MeasureName[] = ['rom_m', 'depth_m', 'descent_s', 'pause_s', 'drive_s', 'mean_drive_mps', 'peak_descent_mps', 'drift_bottom_m', 'drift_lockout_m', 'sag_m']; // prettier-ignore
    expect(withheld(3.4, 3.8)).toEqual(expect.arrayContaining(gone));
    expect(stays(3.4, 3.8)).toEqual(expect.arrayContaining(there));
  });

  it('of a stretch over the lockout are also how long the drive took and where it ended', () => {
    const gone: MeasureName[] = ['drive_s', 'mean_drive_mps', 'drift_lockout_m', 'sag_m', 'hold_sway_m'];
    expect(withheld(4.3, 4.7)).toEqual(expect.arrayContaining(gone));
    expect(stays(4.3, 4.7)).toEqual(
      expect.arrayContaining(['rom_m', 'descent_s', 'pause_s', 'drift_bottom_m']),
    );
  });

  it('of a stretch over the turn are depth, range, pause and sink; of one before the start the set-up alone', () => {
    expect(withheld(2.6, 2.95)).toEqual(expect.arrayContaining(['rom_m', 'depth_m', 'pause_s', 'sink_m']));
    expect(withheld(0.3, 0.7)).toEqual(['settle_s', 'setup_sway_m']);
  });

  it('of a pull end with its highest point', () => {
    const pull = {
      ...press,
      touchS: null,
      bottomS: null,
      pauseStartS: null,
      pauseEndS: null,
      driveStartS: 1,
    };
    expect([...hiddenMeasures([{ fromS: 4.3, toS: 4.7 }], pull, window)]).toContain('rom_m');
    expect([...hiddenMeasures([{ fromS: 2, toS: 2.5 }], pull, window)]).not.toContain('rom_m');
  });

  it('leave nothing out where nothing was hidden', () => {
    expect([...hiddenMeasures([], press, window)]).toEqual([]);
    expect(isHidden([{ fromS: 2, toS: 2.5 }], 2.53)).toBe(true);
    expect(isHidden([{ fromS: 2, toS: 2.5 }], 2.6)).toBe(false);
  });
});

describe('pairs in which something stands before each disc for 0.4 s', () => {
  it('are said to differ no oftener than others, and their intervals hold', () => {
    const trials = (['squat', 'bench', 'deadlift'] as const).flatMap((lift, i) =>
      runTrials(
        { lift, good: true, sameCamera: true, hiddenForS: 0.4 },
        { n: 14, draws: 100, seed: 4100 + 100 * i },
      ),
    );
    expect(trials).toHaveLength(42);
    // Before what was hidden was left out: 79 % held, 8 % false.
    expect(anyDiffers(trials)).toBeLessThanOrEqual(1 / 42);
    expect(heldTogether(trials)).toBeGreaterThan(0.88);
    expect(called(trials, 'cannot tell')).toBeGreaterThan(0.3);
  }, 240_000);
});
