import { beforeAll, describe, expect, it } from 'vitest';
import { headlineSlots, measureNames, type MeasureName } from '../../../shared-lib/contract/measures.ts';
import { changeSchema } from '../../../shared-lib/contract/pair.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import {
  compareDrawn,
  comparePair,
  drawModels,
  modelPair,
  type PairOptions,
  type PairResult,
} from '../../../shared-lib/pair/changes.ts';
import { together } from '../../../shared-lib/pair/joint-draws.ts';
import type { MeasuredClip } from '../../../shared-lib/pair/measured-clip.ts';
import { measureWithUncertainty } from '../../../shared-lib/pair/uncertainty.ts';
import { clipCheck, errors } from './clips.ts';
import { clipOf, film, reps, type Rep } from './simulate.ts';
import { filming } from './trials.ts';

const draws = 150;
const exact = errors({ cameraDistanceM: 3 });
const clip = (rep: Rep, seed: number): MeasuredClip =>
  clipOf(rep.lift, film(rep, exact, filming, seededRandom(seed)), filming);
const compare = (a: MeasuredClip, b: MeasuredClip, options: PairOptions = {}) =>
  comparePair(a, b, { draws, ...options });
const changeIn = (result: PairResult, name: MeasureName) => result.changes.find((c) => c.name === name)!;

describe('comparePair', () => {
  const bench = clip(reps.bench, 1);
  const lower = clip({ ...reps.bench, bottomX: 0.12, pauseS: 1.3 }, 2);
  let apart: PairResult;
  let same: PairResult;
  beforeAll(() => {
    apart = compare(bench, lower, { sameCamera: false });
    same = compare(bench, lower, { sameCamera: true });
  });

  it('lists every measure once, headline measures first in the lift’s order, each as the files have it', () => {
    const names = apart.changes.map((c) => c.name);
    expect(names.slice(0, 6)).toEqual(headlineSlots.bench);
    expect([...names].sort()).toEqual([...measureNames].sort());
    for (const c of apart.changes) expect(changeSchema.safeParse(c).success).toBe(true);
    apart.changes.forEach((c, i) => expect(c.call === null).toBe(i >= 6));
  });

  it('measures today minus reference and keeps the value inside its interval', () => {
    expect(changeIn(apart, 'drift_bottom_m').change).toBeCloseTo(0.04, 2);
    expect(changeIn(apart, 'pause_s').change).toBeCloseTo(0.6, 1);
    for (const c of apart.changes) {
      if (c.change === null) continue;
      expect(c.change).toBeCloseTo(c.today! - c.reference!, 12);
      expect(c.lo95!).toBeLessThanOrEqual(c.change);
      expect(c.hi95!).toBeGreaterThanOrEqual(c.change);
      expect(c.u95!).toBeCloseTo((c.hi95! - c.lo95!) / 2, 12);
    }
  });

  it('calls what differs and what does not, and says why', () => {
    const touch = changeIn(same, 'drift_bottom_m');
    expect(touch.call).toBe('differs');
    expect(touch.why).toContain('whether the lifter has changed is open');
    expect(changeIn(same, 'pause_s').call).toBe('differs');
    expect(changeIn(same, 'drift_lockout_m').call).toBe('no clear change');
    // No band yet, so nothing may be said of the lifter.
    for (const c of [...same.changes, ...apart.changes]) expect(c.call).not.toBe('changed');
  });

  it('lets shared sources cancel: the same camera and disc give narrower differences', () => {
    const ratio = (name: MeasureName) => changeIn(same, name).u95! / changeIn(apart, name).u95!;
    expect(ratio('depth_m')).toBeLessThan(0.6);
    expect(ratio('rom_m')).toBeLessThan(0.6);
    expect(ratio('drift_bottom_m')).toBeLessThan(0.8);
  });

  it('gives the same figures for the same seed and others for another', () => {
    const again = compare(bench, lower, { sameCamera: true });
    expect(again).toEqual(same);
    const other = compare(bench, lower, { sameCamera: true, seed: 2 });
    expect(changeIn(other, 'bow_m').lo95).not.toBe(changeIn(same, 'bow_m').lo95);
    expect(changeIn(other, 'bow_m').change).toBe(changeIn(same, 'bow_m').change);
  });

  it('draws the same whoever draws which quarter', () => {
    const options = { sameCamera: true, draws };
    const models = modelPair(bench, lower, options);
    const tables = together(drawModels(models, options, [2, 0]), drawModels(models, options, [1, 3]));
    expect(compareDrawn({ models, tables }, options)).toEqual(same);
  });

  it('finds no difference between a clip and itself, in any call', () => {
    const self = compare(bench, bench);
    for (const c of self.changes) {
      if (c.change !== null) expect(c.change).toBe(0);
      expect(c.call).not.toBe('differs');
    }
  });

  it('asks less of mean drive velocity within one session', () => {
    const slow = clip(reps.squat, 3);
    const quick = clip({ ...reps.squat, driveS: 1.36 }, 4);
    expect(changeIn(compare(slow, quick, { sameCamera: true }), 'mean_drive_mps').call).toBe('differs');
    expect(changeIn(compare(slow, quick), 'mean_drive_mps').call).not.toBe('differs');
    const strict = compare(slow, quick, { sameCamera: true, deltas: { mean_drive_mps: 0.2 } });
    expect(changeIn(strict, 'mean_drive_mps').call).toBe('no clear change');
  });

  it('matches the events of both reps', () => {
    expect(apart.knots.map((k) => k.event)).toEqual(['start', 'touch', 'bottom', 'drive start', 'lockout']);
    expect(apart.draws).toBe(draws);
  });

  it('calls nothing between a paused and a touch-and-go rep, and says so', () => {
    const touchAndGo = clip({ ...reps.bench, descentS: 0.9, pauseS: 0, driveS: 1 }, 5);
    const result = compare(bench, touchAndGo);
    for (const c of result.changes.slice(0, 6)) expect(c.call).toBe('cannot tell');
    expect(changeIn(result, 'pause_s').change).toBeNull();
    expect(changeIn(result, 'bow_m').why).toContain('touch-and-go');
    expect(changeIn(result, 'bow_m').change).not.toBeNull();
    expect(result.notes.join(' ')).toContain('different variants');
    expect(changeIn(compare(touchAndGo, touchAndGo), 'pause_s').why).toBe(
      'Neither rep has a pause of 0.2 s or longer.',
    );
  });

  it('takes the reason from the clip check', () => {
    const check = clipCheck({ drift: 'cannot carry' });
    const result = compare({ ...bench, check }, lower, { sameCamera: true });
    expect(changeIn(result, 'drift_bottom_m').call).toBe('cannot tell');
    expect(changeIn(result, 'drift_bottom_m').why).toBe(
      'The clip of the reference rep cannot carry horizontal measures.',
    );
    expect(changeIn(result, 'pause_s').call).toBe('differs');
  });

  it('compares no whole drive of a lone deadlift that ends well below the other, whichever it is', () => {
    const [full, short] = [clip(reps.deadlift, 6), clip({ ...reps.deadlift, depthM: 0.4 }, 7)];
    for (const [pair, who] of [
      [[full, short], 'Today’s rep'],
      [[short, full], 'The reference rep'],
    ] as const) {
      const { changes, notes } = comparePair(pair[0], pair[1], { draws: 60 });
      const mean = changes.find((c) => c.name === 'mean_drive_mps')!;
      expect(mean.call).toBe('cannot tell');
      expect(mean.why).toContain(`${who} ends 15 cm lower`);
      expect(notes.join()).toContain(who);
    }
    const same = comparePair(full, clip({ ...reps.deadlift, depthM: 0.53 }, 7), { draws: 60 });
    expect(same.notes.join()).not.toContain('lower than the other');
  });

  it('compares a deadlift by its longest stop where neither rep falls, and by its fall where one does', () => {
    const plain = clip(reps.deadlift, 6);
    expect(compare(plain, plain).changes[1].name).toBe('longest_stop_s');
    const { tS, yM } = plain.plane;
    // In the upper half of the pull the bar comes down some centimetres and goes up again.
    const falling = yM.map((y, i) => y - 0.1 * Math.exp(-(((tS[i] - 2.05) / 0.12) ** 2)));
    const hitched = clipOf('deadlift', { ...plain.plane, yM: falling }, filming);
    const fall = compare(plain, hitched, { sameCamera: true }).changes[1];
    expect(fall.name).toBe('fall_m');
    expect(fall.change!).toBeGreaterThan(0.01);
    expect(fall.call).toBe('differs');
    expect(compare(plain, plain).notes[0]).toContain('start position was not judged');
  });

  it('says loads apart, in its notes', () => {
    expect(compare(bench, lower, { referenceKg: 90, todayKg: 107.5 }).notes.join(' ')).toContain(
      'path and speed change with load',
    );
  });

  it('refuses what cannot be compared, with what to do', () => {
    expect(() => compare(bench, clip(reps.squat, 7))).toThrow(
      /different lifts[^]*Choose two clips of the same lift/,
    );
    expect(() => compare(bench, lower, { todayRep: 3 })).toThrow(/The clip has 1 rep, so there is no rep 4/);
  });

  it('tells how far it is and stops when told to', () => {
    const told: number[] = [];
    compare(bench, lower, { onProgress: (share) => told.push(share) });
    expect(told[0]).toBe(0);
    expect(told).toEqual([...told].sort((a, b) => a - b));
    const stop = () => {
      throw new Error('stopped');
    };
    expect(() => compare(bench, lower, { onProgress: stop })).toThrow('stopped');
  });
});

describe('measureWithUncertainty', () => {
  it('gives a unit with every measure and null where there is none', () => {
    const measures = measureWithUncertainty(clip(reps.squat, 8), 0, { draws });
    expect(measures.depth_m).toMatchObject({ unit: 'm' });
    expect(measures.pause_s).toBeNull();
    expect(measures.bow_m).toBeNull();
    for (const m of Object.values(measures)) {
      if (m) expect(m.lo95 <= m.value && m.value <= m.hi95).toBe(true);
    }
  });

  it('reports no length surer than the disc’s diameter allows', () => {
    const { rom_m: rom } = measureWithUncertainty(clip(reps.squat, 9), 0, { draws: 400 });
    // One sigma of the disc is 1.02 %; lens, rim and sideways travel come on top.
    expect(rom!.u95 / rom!.value).toBeGreaterThan(1.9 * 0.0102);
    expect(rom!.u95 / rom!.value).toBeLessThan(0.04);
  });

  it('never gives a fall or a sag below nothing', () => {
    const measures = measureWithUncertainty(clip(reps.bench, 10), 0, { draws });
    for (const name of ['sag_m', 'fall_m', 'sink_m', 'heave_m'] as const) {
      expect(measures[name]!.lo95).toBeGreaterThanOrEqual(0);
    }
  });
});
