import { describe, expect, it } from 'vitest';
import { measureNames } from '../../../shared-lib/contract/measures.ts';
import type { RepEvents } from '../../../shared-lib/contract/rep.ts';
import { pairNotes, ruledOutBecause, type RepContext } from '../../../shared-lib/pair/comparability.ts';
import { clipCheck } from './clips.ts';

const events: RepEvents = {
  startS: 1,
  touchS: 2,
  bottomS: 2.1,
  pauseStartS: null,
  pauseEndS: null,
  driveStartS: 2.2,
  lockoutS: 3,
  earlierAttempts: 0,
  rebound: false,
  outcome: { kind: 'completed' },
};
const rep = (who: string, some: Partial<RepContext> = {}): RepContext => ({
  events,
  check: undefined,
  noise: { syM: 0.0002, svMps: 0.002 },
  paused: null,
  endsLowerM: null,
  who,
  ...some,
});
const reference = rep('the reference rep');
const today = (some: Partial<RepContext> = {}) => rep('today’s rep', some);

describe('ruledOutBecause', () => {
  it('rules nothing out of two ordinary reps', () => {
    for (const name of measureNames) expect(ruledOutBecause(name, [reference, today()], null)).toBeNull();
  });

  it('rules out drift, and drift alone, where the clip cannot carry it', () => {
    const reps = [reference, today({ check: clipCheck({ drift: 'cannot carry' }) })] as const;
    expect(ruledOutBecause('drift_bottom_m', reps, null)).toBe(
      'The clip of today’s rep cannot carry horizontal measures.',
    );
    expect(ruledOutBecause('bow_m', reps, null)).not.toBeNull();
    expect(ruledOutBecause('depth_m', reps, null)).toBeNull();
    expect(ruledOutBecause('descent_s', reps, null)).toBeNull();
    const poor = [reference, today({ check: clipCheck({ drift: 'poor' }) })] as const;
    expect(ruledOutBecause('drift_bottom_m', poor, null)).toBeNull();
  });

  it('rules out pause and tempo where three times the noise at rest passes 0.03 m/s', () => {
    const noisy = (mps: number) => [reference, today({ noise: { syM: 0.0002, svMps: mps } })] as const;
    expect(ruledOutBecause('pause_s', noisy(0.0101), null)).toContain('too noisy at rest');
    expect(ruledOutBecause('descent_s', noisy(0.0099), null)).toBeNull();
    expect(ruledOutBecause('slowest_mps', noisy(0.0101), null)).toBeNull();
  });

  it('does not compare the whole drive of a rep that ends lower than the other, and says so', () => {
    const pair = [reference, today({ endsLowerM: 0.12 })] as const;
    for (const name of ['rom_m', 'mean_drive_mps', 'slowest_mps', 'sag_m'] as const)
      expect(ruledOutBecause(name, pair, null)).toContain('Today’s rep ends 12 cm lower than the other');
    expect(ruledOutBecause('setup_sway_m', pair, null)).toBeNull();
    const notes = pairNotes({
      lift: 'deadlift',
      reps: pair,
      referenceKg: null,
      todayKg: null,
      sameVariant: null,
    });
    expect(notes.join()).toContain('it stopped short of lockout, or the stance is another');
  });

  it('does not compare the drive of a rep that was not completed', () => {
    const missed = today({
      events: { ...events, lockoutS: null, outcome: { kind: 'not completed', shortM: 0.12 } },
    });
    for (const name of ['mean_drive_mps', 'slowest_mps', 'bow_m', 'drift_lockout_m', 'sag_m'] as const) {
      expect(ruledOutBecause(name, [reference, missed], null)).toContain('Today’s rep was not completed');
    }
    expect(ruledOutBecause('descent_s', [reference, missed], null)).toBeNull();
    expect(ruledOutBecause('drift_bottom_m', [reference, missed], null)).toBeNull();
  });

  it('calls nothing between a paused rep and a touch-and-go, unless the user says they are the same', () => {
    const reps = [rep('the reference rep', { paused: true }), today({ paused: false })] as const;
    const said =
      'The reference rep pauses at the bottom and today’s rep is touch-and-go: different variants are not called.';
    for (const name of measureNames) expect(ruledOutBecause(name, reps, null)).toBe(said);
    expect(ruledOutBecause('bow_m', [reps[1], reps[0]], null)).toBe(said);
    expect(ruledOutBecause('bow_m', reps, true)).toBeNull();
    expect(ruledOutBecause('bow_m', [reference, today()], false)).toContain('different variants');
    expect(ruledOutBecause('bow_m', [reps[0], today({ paused: null })], null)).toBeNull();
  });

  it('does not compare start and first pull after a rebound', () => {
    const reps = [reference, today({ events: { ...events, rebound: true } })] as const;
    expect(ruledOutBecause('first_angle_rad', reps, null)).toContain('rebounds off the floor');
    expect(ruledOutBecause('mean_drive_mps', reps, null)).toBeNull();
  });
});

describe('pairNotes', () => {
  const note = (referenceKg: number | null, todayKg: number | null) =>
    pairNotes({ lift: 'squat', reps: [reference, today()], referenceKg, todayKg, sameVariant: null });

  it('says that loads more than 5 % apart change path and speed', () => {
    expect(note(100, 106).join()).toContain('path and speed change with load');
    expect(note(106, 100).join()).toContain('(106\u00a0kg and 100\u00a0kg)');
    expect(note(100, 105).join()).not.toContain('load');
    expect(note(null, 140).join()).not.toContain('load');
  });

  it('says that the start was not judged', () => {
    for (const lift of ['bench', 'deadlift'] as const) {
      const notes = pairNotes({
        lift,
        reps: [reference, today()],
        referenceKg: 1,
        todayKg: 1,
        sameVariant: null,
      });
      expect(notes[0]).toContain('The start position was not judged');
    }
  });

  it('tells misses, further attempts and rebounds', () => {
    const odd = today({
      events: {
        ...events,
        earlierAttempts: 2,
        rebound: true,
        lockoutS: null,
        outcome: { kind: 'not completed', shortM: 0.084 },
      },
    });
    const notes = pairNotes({
      lift: 'bench',
      reps: [reference, odd],
      referenceKg: null,
      todayKg: null,
      sameVariant: null,
    });
    expect(notes).toContain('Today’s rep was not completed: it stopped 8 cm short.');
    expect(notes).toContain('Today’s rep came out of the bottom 2 times before the drive that counts.');
    expect(notes).toContain('Today’s rep rebounds off the floor: start and first pull are not compared.');
  });
});
