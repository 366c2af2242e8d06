import { describe, expect, it } from 'vitest';
import { bench, readAll, readOne, standing } from './lifts.ts';
import { legTimeAtSpeed } from './script.ts';

// Definitions: design, "From positions to events and measures". A minimum-jerk leg over m metres in s seconds
// passes the still speed of 0.03 m/s at a time after its beginning, and before its end, that has a closed form.
const still = 0.03;

describe('events of a bench press', () => {
  it('lie where a paused press passes the still speed', () => {
    const { events } = readOne(
      bench({ s: 1.5, x: 0.06, y: -0.35 }, { s: 1 }, { s: 1.8, x: 0, y: 0 }),
      'bench',
    );
    const down = legTimeAtSpeed(0.35, 1.5, still);
    const up = legTimeAtSpeed(0.35, 1.8, still);
    expect(events.startS).toBeCloseTo(3.9 + down, 3);
    expect(events.touchS).toBeCloseTo(5.4 - down, 3);
    expect(events.pauseStartS).toBeCloseTo(5.4 - down, 3);
    expect(events.driveStartS).toBeCloseTo(6.4 + up, 3);
    expect(events.pauseEndS).toBeCloseTo(6.4 + up, 3);
    expect(events.lockoutS).toBeCloseTo(8.2 - up, 3);
    expect(events.bottomS).toBeGreaterThan(5.4 - down);
    expect(events.bottomS).toBeLessThan(6.4 + up);
    expect(events).toMatchObject({ earlierAttempts: 0, rebound: false, outcome: { kind: 'completed' } });
  });

  it('have no pause when the bar turns at the chest', () => {
    const { events } = readOne(bench({ s: 0.6, y: -0.35 }, { s: 0.6, y: 0 }), 'bench');
    expect(events.pauseStartS).toBeNull();
    expect(events.pauseEndS).toBeNull();
    expect(events.bottomS).toBeCloseTo(4.5, 2);
    expect(events.touchS).toBeLessThan(4.5);
    expect(events.driveStartS).toBeGreaterThan(4.5);
  });

  it('take the bottom from the last minimum and count the attempts before it', () => {
    const { events } = readOne(
      bench(
        { s: 1.5, y: -0.35 },
        { s: 0.5 },
        { s: 0.5, y: -0.3 },
        { s: 0.5, y: -0.345 },
        { s: 0.3 },
        { s: 1.5, y: 0 },
      ),
      'bench',
    );
    expect(events.earlierAttempts).toBe(1);
    expect(events.touchS).toBeCloseTo(5.4 - legTimeAtSpeed(0.35, 1.5, still), 3);
    expect(events.bottomS).toBeGreaterThan(6.8);
    expect(events.bottomS).toBeLessThan(7.3);
    expect(events.driveStartS).toBeCloseTo(7.2 + legTimeAtSpeed(0.345, 1.5, still), 3);
  });

  it('say how short a press stopped', () => {
    const { events, values } = readOne(
      bench({ s: 1.5, y: -0.35 }, { s: 0.8 }, { s: 1.2, y: -0.1 }, { s: 0.5 }, { s: 1, y: -0.35 }, { s: 2 }),
      'bench',
    );
    expect(events.lockoutS).toBeNull();
    expect(events.outcome.kind).toBe('not completed');
    // The start lies where the descent passes the still speed, about a millimetre below the top.
    expect(events.outcome.kind === 'not completed' && events.outcome.shortM).toBeCloseTo(0.1, 2);
    expect(values.rom_m).toBeCloseTo(0.25, 4);
    expect(values.drive_s).toBeNull();
    expect(values.slowest_mps).toBeNull();
    expect(values.drift_lockout_m).toBeNull();
  });

  it('take the start from the still height that the bar comes back to, not from a hesitation', () => {
    const { events, values } = readOne(
      bench({ s: 0.5, y: -0.04 }, { s: 0.4 }, { s: 1.2, y: -0.35 }, { s: 0.6 }, { s: 1.5, y: 0 }),
      'bench',
    );
    expect(events.startS).toBeCloseTo(3.9 + legTimeAtSpeed(0.04, 0.5, still), 3);
    expect(values.depth_m).toBeCloseTo(0.35, 4);
  });
});

describe('events of a squat', () => {
  it('have no touch and put the bottom in the middle of a quick turn', () => {
    const { events } = readOne(standing({ s: 1.4, x: 0.02, y: -0.6 }, { s: 1.4, x: 0, y: 0 }), 'squat');
    expect(events.touchS).toBeNull();
    expect(events.bottomS).toBeCloseTo(3.4, 3);
    expect(events.startS).toBeCloseTo(2 + legTimeAtSpeed(0.6, 1.4, still), 3);
    expect(events.driveStartS).toBeCloseTo(3.4 + legTimeAtSpeed(0.6, 1.4, still), 3);
    expect(events.lockoutS).toBeCloseTo(4.8 - legTimeAtSpeed(0.6, 1.4, still), 3);
  });

  it('end with the drive when the bar goes down onto the safeties', () => {
    const { events } = readOne(
      standing(
        { s: 1.5, y: -0.6 },
        { s: 1.2, y: -0.4 },
        { s: 0.8 },
        { s: 0.7, y: -0.7 },
        { s: 0.15, y: -0.685 },
        { s: 0.15, y: -0.7 },
      ),
      'squat',
    );
    expect(events.bottomS).toBeCloseTo(3.5, 1);
    expect(events.lockoutS).toBeNull();
    expect(events.outcome.kind === 'not completed' && events.outcome.shortM).toBeCloseTo(0.4, 2);
  });
});

describe('events of a deadlift', () => {
  it('are lift-off and lockout at the still speed', () => {
    const { events } = readOne(standing({ s: 1.6, y: 0.55 }, { s: 1 }, { s: 0.8, y: 0 }), 'deadlift');
    const edge = legTimeAtSpeed(0.55, 1.6, still);
    expect(events.startS).toBeCloseTo(2 + edge, 3);
    expect(events.driveStartS).toBe(events.startS);
    expect(events.lockoutS).toBeCloseTo(3.6 - edge, 3);
    expect(events).toMatchObject({ touchS: null, bottomS: null, pauseStartS: null, rebound: false });
  });

  it('survive a bar that is dropped and bounces', () => {
    const { events } = readOne(
      standing({ s: 1.6, y: 0.55 }, { s: 1 }, { s: 0.4, y: 0 }, { s: 0.1, y: 0.03 }, { s: 0.1, y: 0 }),
      'deadlift',
    );
    expect(events.lockoutS).toBeCloseTo(3.6 - legTimeAtSpeed(0.55, 1.6, still), 3);
  });

  it('call a pull that follows the floor contact by less than 0.3 s a rebound', () => {
    const pull = [{ s: 1.6, y: 0.55 }, { s: 1 }, { s: 0.8, y: 0 }];
    const [first, rested, rebound] = readAll(
      standing(...pull, { s: 1 }, ...pull, { s: 0.05 }, ...pull),
      'deadlift',
    );
    expect([first.events.rebound, rested.events.rebound, rebound.events.rebound]).toEqual([
      false,
      false,
      true,
    ]);
    expect(rebound.values.rom_m).toBeCloseTo(0.55, 3);
  });

  it('take the lift-off of the pull that reaches the hold and count the one that did not', () => {
    const { events } = readOne(
      standing(
        { s: 0.6, y: 0.03 },
        { s: 0.4, y: 0 },
        { s: 1 },
        { s: 1.6, y: 0.55 },
        { s: 1 },
        { s: 0.8, y: 0 },
      ),
      'deadlift',
    );
    expect(events.startS).toBeCloseTo(4 + legTimeAtSpeed(0.55, 1.6, still), 3);
    expect(events.earlierAttempts).toBe(1);
  });

  it("say how short a pull stopped of the clip's highest hold", () => {
    const reps = readAll(
      standing(
        { s: 1.6, y: 0.55 },
        { s: 1 },
        { s: 0.8, y: 0 },
        { s: 1 },
        { s: 1.4, y: 0.4 },
        { s: 0.8, y: 0 },
      ),
      'deadlift',
    );
    expect(reps.map((r) => r.events.outcome.kind)).toEqual(['completed', 'not completed']);
    const { outcome } = reps[1].events;
    expect(outcome.kind === 'not completed' && outcome.shortM).toBeCloseTo(0.15, 3);
  });
});
