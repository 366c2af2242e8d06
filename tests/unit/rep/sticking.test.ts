import { describe, expect, it } from 'vitest';
import type { Motion } from '../../../shared-lib/contract/motion.ts';
import { findReps } from '../../../shared-lib/rep/find-reps.ts';
import { measureRep } from '../../../shared-lib/rep/measures.ts';
import { repFrame } from '../../../shared-lib/rep/rep-frame.ts';
import { stickingPoints } from '../../../shared-lib/rep/sticking.ts';
import { benchDrive, driveFromS } from './lifts.ts';
import { quiet } from './script.ts';

const sticking = (motion: Motion, noise = quiet) => {
  const [{ events }] = findReps(motion, 'bench', noise);
  return {
    points: stickingPoints(repFrame(motion, events, 'bench', noise)).map((p) => ({
      ...p,
      tS: motion.t0S + p.at * motion.dtS - driveFromS,
    })),
    values: measureRep(motion, events, 'bench', noise),
  };
};

const whip = (t: number): number => 0.05 * Math.sin(2 * Math.PI * 4.5 * t) * Math.exp(-t);
/** The first maximum .2 s after the drive begins, the minimum .9 s later (van den Tillaar & Ettema 2010). */
const stuck: [number, number][] = [
  [0, 0],
  [0.2, 0.4],
  [1.1, 0.1],
  [1.6, 0.35],
  [2, 0],
];
const monotone: [number, number][] = [
  [0, 0],
  [0.5, 0.4],
  [1.6, 0],
];

describe('the sticking point', () => {
  it('is the velocity minimum after the first maximum, with its drop, height and duration', () => {
    const { points, values } = sticking(benchDrive(stuck));
    expect(points).toHaveLength(1);
    expect(points[0].tS).toBeCloseTo(1.1, 2);
    expect(values.sticking_mps).toBeCloseTo(0.1, 3);
    expect(values.sticking_drop_mps).toBeCloseTo(0.3, 3);
    expect(values.sticking_s).toBeCloseTo(0.9, 2);
    // Risen by then: .04 + .225 of .4575 m.
    expect(values.sticking_height_pct).toBeCloseTo((100 * 0.265) / 0.4475, 0);
    expect(points[0].prominenceMps).toBeCloseTo(0.25, 3);
    expect(values.slowest_mps).toBeCloseTo(0.1, 3);
  });

  it('does not exist where the velocity has one maximum, or a plateau', () => {
    const plateau: [number, number][] = [
      [0, 0],
      [0.4, 0.2],
      [1.4, 0.2],
      [1.8, 0],
    ];
    for (const knots of [monotone, plateau]) {
      const { points, values } = sticking(benchDrive(knots));
      expect(points).toEqual([]);
      expect(values.sticking_mps).toBeNull();
      expect(values.sticking_s).toBeNull();
      expect(values.slowest_mps).toBeGreaterThan(0);
    }
  });

  it('is not the whip of a loaded bar at 4 to 5 Hz', () => {
    expect(sticking(benchDrive(monotone, whip)).points).toEqual([]);
  });

  it('is found under the whip', () => {
    const { points } = sticking(benchDrive(stuck, whip));
    expect(points).toHaveLength(1);
    expect(Math.abs(points[0].tS - 1.1)).toBeLessThan(0.1);
    expect(points[0].vMps).toBeCloseTo(0.1, 1);
  });

  it('is the most prominent of several, and the others are listed', () => {
    const { points } = sticking(
      benchDrive([
        [0, 0],
        [0.2, 0.4],
        [0.7, 0.25],
        [0.9, 0.32],
        [1.5, 0.1],
        [1.8, 0.3],
        [2.2, 0],
      ]),
    );
    expect(points.map((p) => p.tS.toFixed(1))).toEqual(['1.5', '0.7']);
    expect(points[0].vMps).toBeCloseTo(0.1, 3);
    expect(points[1].prominenceMps).toBeCloseTo(0.07, 3);
  });

  it('begins at the first maximum that no later one exceeds by what makes a maximum count', () => {
    const regained = (mps: number) =>
      sticking(
        benchDrive([
          [0, 0],
          [0.2, 0.4],
          [0.6, 0.25],
          [0.9, mps],
          [1.5, 0.1],
          [1.8, 0.3],
          [2.2, 0],
        ]),
      ).values;
    // Back at the speed it had: one region, from the first maximum on.
    expect(regained(0.415).sticking_s).toBeCloseTo(1.3, 2);
    expect(regained(0.415).sticking_drop_mps).toBeCloseTo(0.3, 3);
    // Faster than before: it was not stuck there.
    expect(regained(0.425).sticking_s).toBeCloseTo(0.6, 2);
    expect(regained(0.425).sticking_drop_mps).toBeCloseTo(0.325, 3);
  });

  it('needs 0.2 s after the first maximum, a tenth of the range, and prominence above the noise', () => {
    const soon: [number, number][] = [
      [0, 0],
      [0.4, 0.4],
      [0.55, 0.3],
      [0.8, 0.45],
      [1.6, 0],
    ];
    expect(sticking(benchDrive(soon)).points).toEqual([]);
    const low: [number, number][] = [
      [0, 0],
      [0.1, 0.1],
      [0.35, 0.05],
      [1, 0.5],
      [1.8, 0],
    ];
    expect(sticking(benchDrive(low)).points).toEqual([]);
    const shallow: [number, number][] = [
      [0, 0],
      [0.3, 0.3],
      [0.9, 0.25],
      [1.3, 0.3],
      [1.8, 0],
    ];
    expect(sticking(benchDrive(shallow)).points).toHaveLength(1);
    expect(sticking(benchDrive(shallow), { syM: 0.001, svMps: 0.02 }).points).toEqual([]);
  });
});
