import { describe, expect, it } from 'vitest';
import { measureInfo, measureNames, type MeasureName } from '../../../shared-lib/contract/measures.ts';
import type { Call, Change } from '../../../shared-lib/contract/pair.ts';
import { measureLabel, sentenceOf as sentence, surestFirst } from '../../../shared-lib/pair/sentences.ts';

/** A sentence with ordinary spaces between values and units. */
const sentenceOf = (...of: Parameters<typeof sentence>): string => sentence(...of).replaceAll('\u00a0', ' ');

function change(
  name: MeasureName,
  value: number | null,
  u95: number | null,
  call: Call | null = null,
): Change {
  const lo95 = value === null || u95 === null ? null : value - u95;
  const hi95 = value === null || u95 === null ? null : value + u95;
  const { unit } = measureInfo[name];
  return {
    name,
    unit,
    reference: 0,
    today: value,
    change: value,
    lo95,
    hi95,
    u95,
    call,
    why: 'The clip is too dark.',
  };
}

describe('sentenceOf', () => {
  it.each([
    ['bench', 'drift_bottom_m', 0.044, 0.008, 'The bar touched 4.4 cm (± 0.8) further toward the feet.'],
    ['bench', 'drift_bottom_m', -0.044, 0.008, 'The bar touched 4.4 cm (± 0.8) further toward the head.'],
    [
      'squat',
      'drift_bottom_m',
      0.021,
      0.012,
      'The bar was 2.1 cm (± 1.2) further toward the toes at the bottom.',
    ],
    [
      'deadlift',
      'drift_lockout_m',
      -0.03,
      0.01,
      'The bar was 3.0 cm (± 1.0) further toward the heels at lockout.',
    ],
    ['squat', 'descent_s', 0.412, 0.051, 'The descent took 0.41 s (± 0.05) longer.'],
    ['squat', 'slowest_mps', -0.08, 0.02, 'The slowest point of the drive was 0.08 m/s (± 0.02) slower.'],
    ['bench', 'first_angle_rad', 0.1, 0.02, 'The drive set off 5.7° (± 1.1) more toward the feet.'],
    ['deadlift', 'sag_m', 0.012, 0.004, 'The bar sagged 12 mm (± 4) more after lockout.'],
  ] as const)('%s %s: %s', (lift, name, value, u95, sentence) => {
    expect(sentenceOf(change(name, value, u95, 'differs'), lift)).toBe(sentence);
  });

  it('says where there is no clear change, and what stands against a call', () => {
    expect(sentenceOf(change('descent_s', 0.05, 0.2, 'no clear change'), 'squat')).toBe(
      'The descent took 0.05 s (± 0.20) longer: no clear change.',
    );
    expect(sentenceOf(change('descent_s', 0.05, 0.4, 'cannot tell'), 'squat')).toBe(
      'The descent took 0.1 s (± 0.4) longer. Cannot tell: the clip is too dark.',
    );
    expect(sentenceOf(change('pause_s', null, null, 'cannot tell'), 'bench')).toBe('The clip is too dark.');
    expect(sentenceOf(change('bow_m', 0.0001, 0.004, 'no clear change'), 'bench')).toBe(
      'No difference seen in bow of the drive (± 0.4 cm).',
    );
  });

  it('never shows an uncertainty of nothing', () => {
    expect(sentenceOf(change('descent_s', 0.5, 0.0001, 'differs'), 'squat')).toContain('(± 0.01)');
  });

  it('has words for every measure in both directions, with its size, and never a sign', () => {
    for (const lift of ['squat', 'bench', 'deadlift'] as const) {
      for (const name of measureNames) {
        const said = [3, -3].map((value) => sentenceOf(change(name, value, 0.2), lift));
        expect(said[0]).not.toBe(said[1]);
        for (const s of said) {
          expect(s).toMatch(/^[A-Z].*\d.*\.$/);
          expect(s).not.toMatch(/[-−+#<>]|undefined/);
          if (lift === 'bench') expect(s).not.toMatch(/toes|heels/);
          else expect(s).not.toMatch(/feet|head/);
        }
        expect(measureLabel(name, lift)).not.toMatch(/forward|backward/);
      }
    }
  });
});

describe('surestFirst', () => {
  it('puts calls before what is not called, then the surest, and keeps nothing back', () => {
    const list = [
      change('rom_m', 0.1, 0.01),
      change('sticking_s', null, null),
      change('descent_s', 0.1, 0.1, 'no clear change'),
      change('bow_m', 0.03, 0.015, 'differs'),
      change('drift_bottom_m', -0.05, 0.01, 'differs'),
      change('pause_s', 0.2, 0.3, 'cannot tell'),
      change('drift_lockout_m', 0.021, 0.02, 'changed'),
      change('heave_m', 0.1, 0.1),
    ];
    expect(surestFirst(list).map((c) => c.name)).toEqual([
      'drift_lockout_m',
      'drift_bottom_m',
      'bow_m',
      'descent_s',
      'rom_m',
      'heave_m',
      'pause_s',
      'sticking_s',
    ]);
  });
});
