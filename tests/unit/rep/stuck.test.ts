import { describe, expect, it } from 'vitest';
import type { Motion } from '../../../shared-lib/contract/motion.ts';
import { findReps } from '../../../shared-lib/rep/find-reps.ts';
import { bench, readAll, readOne, standing } from './lifts.ts';
import { quiet } from './script.ts';

describe('a press that never leaves the chest', () => {
  const down = { s: 1.4, y: -0.35 };

  it('is a rep that was not completed, short by all of its way', () => {
    const { events, values } = readOne(standing(down, { s: 2.5 }), 'bench');
    expect(events.lockoutS).toBeNull();
    expect(events.outcome.kind).toBe('not completed');
    expect(events.outcome.kind === 'not completed' && events.outcome.shortM).toBeCloseTo(0.35, 2);
    expect(events.pauseStartS).toBeNull();
    expect(events.driveStartS).toBe(events.touchS);
    expect(values.descent_s).toBeCloseTo(1.4, 0);
    expect(values.mean_drive_mps).toBeNull();
    expect(values.slowest_mps).toBeNull();
  });

  it('starts its drive at the last push, however little comes of it', () => {
    const { events } = readOne(
      standing(down, { s: 0.8 }, { s: 0.2, y: -0.343 }, { s: 0.2, y: -0.35 }, { s: 2 }),
      'bench',
    );
    expect(events.driveStartS).toBeGreaterThan(2 + 1.4 + 0.8);
    expect(events.driveStartS).toBeLessThan(2 + 1.4 + 1);
    const { outcome } = events;
    expect(outcome.kind === 'not completed' && outcome.shortM).toBeCloseTo(0.342, 3);
  });

  it('is told from a clip that ends in a pause by 3 s at the chest', () => {
    // 1.5 s of stillness follow the last leg; the bar is within 3 cm of the chest for the last 0.3 s of the descent.
    const count = (s: number) => readAll(standing(down, { s }), 'bench').length;
    expect([count(1), count(1.4)]).toEqual([0, 1]);
  });

  it('counts after completed reps, and not where a drive that stopped short sank back', () => {
    const press = [down, { s: 0.5 }, { s: 1.5, y: 0 }, { s: 1 }];
    const kinds = (...legs: Parameters<typeof standing>) =>
      readAll(standing(...legs), 'bench').map((r) => r.events.outcome.kind);
    expect(kinds(...press, down, { s: 3 })).toEqual(['completed', 'not completed']);
    expect(kinds(...press, down, { s: 0.5 }, { s: 1.5, y: -0.04 }, { s: 0.5 }, down, { s: 3 })).toEqual([
      'completed',
      'not completed',
    ]);
  });

  it('is no squat: there a bar that stays down lies on the safeties', () => {
    expect(readAll(standing({ s: 1.4, y: -0.6 }, { s: 3 }), 'squat')).toEqual([]);
  });
});

describe('figures of the definitions, on both sides', () => {
  it('end the floor zone 3 sigma above the resting height where that is more than 5 mm', () => {
    // Pulled 2 cm up and held there before the pull proper.
    const motion: Motion = standing(
      { s: 0.3, y: 0.02 },
      { s: 0.4 },
      { s: 1.6, y: 0.57 },
      { s: 1 },
      { s: 1, y: 0 },
    );
    const lead = (syM: number) =>
      findReps(motion, 'deadlift', { syM, svMps: 0.002 })[0].events.driveStartS - 2;
    // Above the zone the 2 cm belong to the pull; within it the last rise counts.
    expect(lead(0.0001)).toBeLessThan(0.1);
    expect(lead(0.0055)).toBeLessThan(0.1);
    expect(lead(0.0068)).toBeGreaterThan(0.7);
  });

  it('take the origin from the last 0.3 s of standing still', () => {
    // A shift of 12 mm, a wait, and a descent that passes the still speed 0.04 s after it begins.
    const drift = (waitS: number) =>
      readOne(
        standing({ s: 0.1, x: 0.012 }, { s: waitS }, { s: 0.8, y: -0.35 }, { s: 0.6 }, { s: 1.5, y: 0 }),
        'bench',
      ).values.drift_lockout_m!;
    // The median lies 0.15 s before the start.
    expect(drift(0)).toBeCloseTo(0.012, 3);
    expect(drift(0.13)).toBeCloseTo(0, 3);
  });

  it('do not end a pause for less than 0.1 s of movement', () => {
    const pause = (wobbleS: number) =>
      readOne(
        bench({ s: 1.4, y: -0.35 }, { s: 0.5 }, { s: wobbleS, y: -0.342 }, { s: 0.5 }, { s: 1.5, y: 0 }),
        'bench',
      ).values.pause_s!;
    // Faster than the still speed for 0.096 s and for 0.11 s.
    expect(pause(0.14)).toBeGreaterThan(1);
    expect(pause(0.17)).toBeLessThan(0.7);
  });

  it('call the bar settled after 0.3 s slower than the still speed both ways', () => {
    // Brought 7 cm to the start, still for a while, nudged, and then at rest.
    const settle = (restS: number) =>
      readOne(
        standing(
          { s: 0.6, x: -0.07 },
          { s: restS },
          { s: 0.2, x: -0.06 },
          { s: 1 },
          { s: 1.4, y: -0.35 },
          { s: 0.6 },
          { s: 1.5, y: 0 },
        ),
        'bench',
      ).values.settle_s!;
    // The still speed is passed 0.06 s before the carry ends and 0.03 s after the nudge begins.
    expect(settle(0.19)).toBeGreaterThan(0.6);
    expect(settle(0.23)).toBeLessThan(0.5);
  });

  it('keep 2.5 s after the lockout in the window, and 6 s before the start', () => {
    const [rep] = findReps(
      standing({ s: 8 }, { s: 1.4, y: -0.35 }, { s: 0.6 }, { s: 1.5, y: 0 }, { s: 4 }),
      'bench',
      quiet,
    );
    expect(rep.window.toS - rep.events.lockoutS!).toBeCloseTo(2.5, 6);
    expect(rep.events.startS - rep.window.fromS).toBeCloseTo(6, 6);
  });
});
