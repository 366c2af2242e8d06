import { describe, expect, it } from 'vitest';
import type { Motion } from '../../../shared-lib/contract/motion.ts';
import { findEvents } from '../../../shared-lib/rep/events.ts';
import { findReps } from '../../../shared-lib/rep/find-reps.ts';
import { bench, rack, readAll, rerack, standing, unrack } from './lifts.ts';
import { type Leg, quiet, script } from './script.ts';

const press: Leg[] = [{ s: 1.2, x: 0.05, y: -0.35 }, { s: 0.4 }, { s: 1.2, x: 0, y: 0 }];

/** The motion without its samples from a time on, or with them lost. */
const until = (m: Motion, tS: number): Motion => {
  const n = Math.round(tS / m.dtS);
  const cut = (a: Float64Array): Float64Array => a.slice(0, n);
  return { ...m, xM: cut(m.xM), yM: cut(m.yM), vxMps: cut(m.vxMps), vyMps: cut(m.vyMps) };
};
const lostWithin = (m: Motion, fromS: number, toS: number): Motion => {
  const lose = (a: Float64Array): Float64Array =>
    a.map((v, i) => (i * m.dtS > fromS && i * m.dtS < toS ? NaN : v));
  return { ...m, xM: lose(m.xM), yM: lose(m.yM), vxMps: lose(m.vxMps), vyMps: lose(m.vyMps) };
};

describe('findReps', () => {
  it('takes unrack, hand-off and re-rack for no reps', () => {
    expect(findReps(script(rack, [...unrack, ...rerack]), 'bench', quiet)).toEqual([]);
    // Handed over from 12 cm above straight arms, and put into a rack 12 cm below them.
    const handed = script({ x: -0.2, y: 0.12 }, [
      { s: 1 },
      { s: 1, x: 0, y: 0 },
      { s: 1.5 },
      ...press,
      { s: 1 },
      { s: 1, x: -0.2, y: -0.12 },
      { s: 1 },
    ]);
    const reps = readAll(handed, 'bench');
    expect(reps).toHaveLength(1);
    expect(reps[0].values.depth_m).toBeCloseTo(0.35, 4);
  });

  it('takes a walk-out for none and finds the squat after it', () => {
    const motion = script({ x: -0.5, y: -0.07 }, [
      { s: 1 },
      { s: 0.6, y: 0.02 },
      { s: 0.4, y: 0 },
      { s: 0.8, x: -0.2 },
      { s: 0.8, x: 0 },
      { s: 2 },
      { s: 1.8, y: -0.62, x: 0.02 },
      { s: 1.6, y: 0, x: 0.01 },
      { s: 1.5 },
      { s: 1, x: -0.5 },
      { s: 0.6, y: -0.07 },
      { s: 1 },
    ]);
    const reps = readAll(motion, 'squat');
    expect(reps).toHaveLength(1);
    expect(reps[0].events.startS).toBeGreaterThan(5.6);
    expect(reps[0].events.startS).toBeLessThan(5.8);
  });

  it('finds every rep of a set, paused or not at the top, in windows that do not overlap the next start', () => {
    for (const top of [0, 0.15, 1.5]) {
      const set = bench(...[0, 1, 2, 3].flatMap(() => [...press, { s: top }]));
      const reps = findReps(set, 'bench', quiet);
      expect(reps).toHaveLength(4);
      reps.forEach(({ window, events }, k) => {
        expect(events.outcome.kind).toBe('completed');
        expect(events.driveStartS - events.startS).toBeCloseTo(1.6, 1);
        if (k + 1 < reps.length) expect(window.toS).toBeLessThanOrEqual(reps[k + 1].events.startS);
        expect(findEvents(set, window, 'bench', quiet)).toEqual(events);
      });
    }
  });

  it('leaves out excursions below half of the largest and below 0.15 m', () => {
    const mixed = bench(...press, { s: 1 }, { s: 0.6, y: -0.16 }, { s: 0.6, y: 0 }, { s: 1 });
    expect(findReps(mixed, 'bench', quiet)).toHaveLength(1);
    expect(findReps(bench({ s: 0.6, y: -0.14 }, { s: 0.6, y: 0 }), 'bench', quiet)).toEqual([]);
  });

  it('makes no rep of a drive that the clip or the trace cuts off', () => {
    const motion = bench(...press);
    expect(findReps(until(motion, 6.1), 'bench', quiet)).toEqual([]);
    expect(findReps(lostWithin(motion, 5, 6), 'bench', quiet)).toEqual([]);
    expect(findReps(lostWithin(motion, 8.5, 9), 'bench', quiet)).toHaveLength(1);
  });

  it('makes no rep of a clip that begins in the descent', () => {
    const begun = script({ x: 0, y: 0 }, [...press, { s: 1 }]);
    const from = Math.round(0.5 / begun.dtS);
    const cut = (a: Float64Array): Float64Array => a.slice(from);
    const rest = {
      ...begun,
      xM: cut(begun.xM),
      yM: cut(begun.yM),
      vxMps: cut(begun.vxMps),
      vyMps: cut(begun.vyMps),
    };
    expect(findReps(rest, 'bench', quiet)).toEqual([]);
  });

  it('answers nothing for an empty, a still and a lost motion', () => {
    const empty = new Float64Array(0);
    expect(
      findReps({ t0S: 0, dtS: 0.01, xM: empty, yM: empty, vxMps: empty, vyMps: empty }, 'squat', quiet),
    ).toEqual([]);
    expect(findReps(standing({ s: 3 }), 'squat', quiet)).toEqual([]);
    const nan = new Float64Array(500).fill(NaN);
    expect(
      findReps({ t0S: 0, dtS: 0.01, xM: nan, yM: nan, vxMps: nan, vyMps: nan }, 'deadlift', quiet),
    ).toEqual([]);
  });
});
