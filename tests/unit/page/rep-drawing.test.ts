import { describe, expect, it } from 'vitest';
import { eventsOf, phasesOf, slowestS } from '../../../shared-lib/page/rep-drawing.ts';
import { benchPressPage, referenceShape, slowestAt } from './fixture.ts';

const { rep, path } = benchPressPage().reference;
const window = { fromS: 0.2, toS: 6 };
const spans = (phases: ReturnType<typeof phasesOf>) =>
  phases.map((p) => `${p.name} ${p.fromS.toFixed(2)}-${p.toS.toFixed(2)}`);

describe('phases from events', () => {
  it('runs from the window’s beginning through descent, pause and drive to its end', () => {
    expect(spans(phasesOf('bench', rep, window))).toEqual([
      'set-up 0.20-1.40',
      'descent 1.40-3.12',
      'pause 3.12-3.74',
      'drive 3.74-5.22',
      'hold 5.22-6.00',
    ]);
  });
  it('lets the descent of a touch-and-go rep last until the drive starts', () => {
    const go = { ...rep, pause_start_s: null, pause_end_s: null };
    expect(spans(phasesOf('bench', go, window)).slice(1, 3)).toEqual([
      'descent 1.40-3.74',
      'drive 3.74-5.22',
    ]);
  });
  it('has set-up, drive and hold in a deadlift', () => {
    const pull = { ...rep, start_s: 1, drive_start_s: 1, bottom_s: null, touch_s: null, lockout_s: 3 };
    expect(spans(phasesOf('deadlift', pull, window))).toEqual(['set-up 0.20-1.00', 'drive 1.00-3.00', 'hold 3.00-6.00']); // prettier-ignore
  });
  it('has no hold where the rep was not completed', () => {
    expect(spans(phasesOf('bench', { ...rep, lockout_s: null }, window)).at(-1)).toBe('drive 3.74-6.00');
  });
});

describe('events by their words', () => {
  it('come in time order with the slowest point among them', () => {
    expect(eventsOf('bench', rep, path).map((e) => e.name)).toEqual([
      'start',
      'touch',
      'bottom',
      'drive start',
      'slowest point',
      'lockout',
    ]);
    expect(eventsOf('deadlift', rep, path)[0].name).toBe('lift-off');
    expect(eventsOf('squat', { ...rep, touch_s: null }, path).map((e) => e.name)).not.toContain('touch');
  });
  it('finds the slowest point where the drive was made slowest', () => {
    const dipS = 3.74 + slowestAt * referenceShape.driveS;
    expect(Math.abs((slowestS(rep, path) ?? NaN) - dipS)).toBeLessThan(1 / 60);
  });
  it('has no slowest point without a drive or without a path, nor where some of the drive was not seen', () => {
    const unseen = path.vyMps.map((v, i) => (Math.abs(path.tS[i] - 4.9) < 0.15 ? NaN : v));
    expect(slowestS(rep, { ...path, vyMps: unseen })).toBeNull();
    expect(slowestS({ ...rep, drive_start_s: null }, path)).toBeNull();
    expect(slowestS(rep, { tS: [], xM: [], yM: [], vyMps: [] })).toBeNull();
  });
});
