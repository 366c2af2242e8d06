import { describe, expect, it } from 'vitest';
import type { RepEvents } from '../../../shared-lib/contract/rep.ts';
import { eventsByHand, withEventsByHand } from '../../../shared-lib/rep/set-events.ts';

const found: RepEvents = {
  startS: 1,
  touchS: 2,
  bottomS: 2.4,
  pauseStartS: 2,
  pauseEndS: 3,
  driveStartS: 3,
  lockoutS: 4.5,
  earlierAttempts: 0,
  rebound: false,
  outcome: { kind: 'completed' },
};

describe('withEventsByHand', () => {
  it('puts an event where the hand put it, and the pause with it', () => {
    expect(withEventsByHand(found, { touch: 2.2, 'drive start': 2.8 })).toEqual({
      ...found,
      touchS: 2.2,
      pauseStartS: 2.2,
      pauseEndS: 2.8,
      driveStartS: 2.8,
    });
  });

  it('keeps a bottom that nobody set between its neighbours', () => {
    expect(withEventsByHand(found, { touch: 2.6 })?.bottomS).toBe(2.6);
    expect(withEventsByHand(found, { 'drive start': 2.2 })?.bottomS).toBe(2.2);
    expect(withEventsByHand(found, { bottom: 2.1 })?.bottomS).toBe(2.1);
  });

  it('moves the start of a deadlift with its lift-off', () => {
    const pull = { ...found, touchS: null, bottomS: null, pauseStartS: null, pauseEndS: null };
    const moved = withEventsByHand({ ...pull, startS: 3 }, { 'lift-off': 3.1 });
    expect([moved?.startS, moved?.driveStartS]).toEqual([3.1, 3.1]);
  });

  it('makes no event that the rep does not have', () => {
    const pull = { ...found, touchS: null, lockoutS: null };
    const moved = withEventsByHand(pull, { touch: 2.2, lockout: 4 });
    expect([moved?.touchS, moved?.lockoutS]).toEqual([null, null]);
  });

  it('refuses events that do not follow one another', () => {
    expect(withEventsByHand(found, { start: 2.1 })).toBeNull();
    expect(withEventsByHand(found, { lockout: 3 })).toBeNull();
    expect(withEventsByHand(found, { bottom: 3.5 })).toBeNull();
  });
});

describe('eventsByHand', () => {
  it('takes one rep’s, in real time', () => {
    const set = [
      { rep: 1, event: 'start', fileS: 8 },
      { rep: 2, event: 'lockout', fileS: 20 },
    ] as const;
    expect(eventsByHand(set, 2, 4)).toEqual({ lockout: 5 });
  });
});
