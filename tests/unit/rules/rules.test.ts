import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { ClipCheck } from '../../../shared-lib/contract/clip.ts';
import type { Measure } from '../../../shared-lib/contract/rep.ts';
import type { Lift } from '../../../shared-lib/contract/lift.ts';
import { notCarriedBy, type RuleEvidence } from '../../../shared-lib/rules/evidence.ts';
import { authoritySentence, whatRefereesLookAt } from '../../../shared-lib/rules/what-referees-look-at.ts';

const measure = (value: number, u95: number, unit = 'm'): Measure => ({
  value,
  lo95: value - u95,
  hi95: value + u95,
  u95,
  unit,
});
const nothing: RuleEvidence = {
  measures: {},
  outcome: { kind: 'completed' },
  earlierAttempts: 0,
  body: [],
  notCarried: [],
  points: [],
};
const shows = (lift: Lift, name: string, evidence: Partial<RuleEvidence>) =>
  whatRefereesLookAt(lift, { ...nothing, ...evidence })
    .find((rule) => rule.name === name)!
    .shows.join(' ');

describe('what referees look at', () => {
  it.each([
    ['squat', ['depth', 'downward movement', 'start and end', 'feet', 'commands']],
    [
      'bench',
      [
        'pause',
        'downward movement',
        'head, shoulders and hips',
        'feet',
        'elbow depth',
        'lockout',
        'commands',
      ],
    ],
    ['deadlift', ['downward movement', 'lockout', 'support on the thighs', 'feet', 'down command']],
  ] as const)('%s', (lift, names) => {
    const rules = whatRefereesLookAt(lift, nothing);
    expect(rules.map(({ name }) => name)).toEqual(names);
    for (const rule of rules) expect(rule.cannotShow.length).toBeGreaterThan(10);
  });

  it('never say good lift, no lift or which way a referee would decide', () => {
    const full: RuleEvidence = {
      measures: {
        fall_m: measure(0.02, 0.005),
        pause_s: measure(0.8, 0.05, 's'),
        stops: measure(2, 0, '1'),
        longest_stop_s: measure(0.4, 0.1, 's'),
        sink_m: measure(0.01, 0.003),
        sag_m: measure(0.006, 0.002),
      },
      outcome: { kind: 'not completed', shortM: 0.1 },
      earlierAttempts: 1,
      body: [],
      notCarried: [],
      points: [],
    };
    for (const lift of ['squat', 'bench', 'deadlift'] as const) {
      const words = JSON.stringify([nothing, full].map((e) => whatRefereesLookAt(lift, e)));
      expect(words).not.toMatch(/good lift|no lift|white light|red light|disqualif|would (pass|fail)/i);
    }
    expect(authoritySentence('')).toMatch(/current rulebook is the authority.*referees decide/);
    expect(authoritySentence('Harbour Lane league')).toContain('The Harbour Lane league’s current rulebook');
  });

  it('tell a fall only where its interval leaves none out', () => {
    expect(shows('bench', 'downward movement', { measures: { fall_m: measure(0.006, 0.002) } })).toContain(
      'came down by 0.6 cm (0.4 cm to 0.8 cm)',
    );
    // A dip of 3 mm that is known to 4 mm is not claimed.
    expect(shows('bench', 'downward movement', { measures: { fall_m: measure(0.003, 0.004) } })).toContain(
      'none of more than 0.7 cm',
    );
  });

  it('tell a stop without a fall as a stop', () => {
    const measures = {
      fall_m: measure(0, 0.001),
      stops: measure(1, 0, '1'),
      longest_stop_s: measure(0.35, 0.05, 's'),
    };
    const words = shows('deadlift', 'downward movement', { measures });
    expect(words).toContain('stopped once on its way up, at the longest for 0.35 s');
    expect(words).toContain('none that stands out from the noise');
  });

  it('tell settling after a deadlift’s lockout apart from a fall before it', () => {
    const words = shows('deadlift', 'downward movement', {
      measures: { fall_m: measure(0, 0.001), sag_m: measure(0.006, 0.002) },
    });
    expect(words).toContain('After lockout the bar settled by 0.6 cm');
    expect(words).not.toContain('came down by');
  });

  it('tell depth as marked, as open or as unseen', () => {
    const crease = (value: number, u95: number, viewU95 = 0.01, canJudge = true) => ({
      body: [
        { ...measure(value, u95), event: 'bottom' as const, name: 'crease_m' as const, viewU95, canJudge },
      ],
    });
    expect(shows('squat', 'depth', crease(-0.03, 0.015))).toMatch(/3\.0 cm below .* \(± 1\.5 cm\)\.$/);
    expect(shows('squat', 'depth', crease(-0.01, 0.015))).toContain('cannot tell');
    expect(shows('squat', 'depth', crease(-0.03, 0.09, 0.08, false))).toContain('depth cannot be judged');
    expect(shows('squat', 'depth', {})).toContain('not marked');
  });

  const lifts = fc.constantFrom<Lift>('squat', 'bench', 'deadlift');
  const interval = (unit: string, most: number) =>
    fc
      .tuple(fc.double({ min: -most, max: most, noNaN: true }), fc.double({ min: 0, max: most, noNaN: true }))
      .map(([value, u95]) => measure(value, u95, unit));
  const metres = fc.option(interval('m', 0.3));
  const seconds = fc.option(interval('s', 2));
  const verdict = fc.constantFrom('good', 'poor', 'cannot carry' as const);
  const check = fc
    .record({ drift: verdict, vertical: verdict, velocity: verdict, tempo: verdict })
    .map((verdicts) => ({ verdicts }) as ClipCheck);
  const noise = fc.constantFrom(0.002, 0.05).map((svMps) => ({ syM: 0.001, svMps }));
  const bodyMeasures = (['crease_m', 'knee_rad', 'elbow_rad'] as const).map((name) =>
    fc.tuple(interval(name === 'crease_m' ? 'm' : 'rad', 0.2), fc.boolean()).map(([m, canJudge]) => ({
      ...m,
      name,
      event: name === 'crease_m' ? ('bottom' as const) : ('lockout' as const),
      viewU95: 0.03,
      canJudge,
    })),
  );
  const evidence = fc.record({
    measures: fc.record({
      fall_m: metres,
      sink_m: metres,
      heave_m: metres,
      sag_m: metres,
      pause_s: seconds,
      longest_stop_s: seconds,
      stops: fc.option(fc.integer({ min: 0, max: 3 }).map((n) => measure(n, 0, '1'))),
    }),
    outcome: fc.constantFrom({ kind: 'completed' as const }, { kind: 'not completed' as const, shortM: 0.1 }),
    earlierAttempts: fc.integer({ min: 0, max: 2 }),
    body: fc.tuple(...bodyMeasures),
    points: fc.constantFrom(
      [],
      [{ joint: 'heel', sentence: 'The heel moves 2.0 cm ± 0.5 cm up at the bottom.' }],
    ),
  });

  it('say of every clip what it shows and what it cannot, in whole sentences, and decide nothing', () => {
    fc.assert(
      fc.property(lifts, evidence, check, noise, fc.string(), (lift, seen, clip, rest, federation) => {
        const rules = whatRefereesLookAt(lift, { ...seen, notCarried: notCarriedBy(clip, rest) });
        expect(rules.length).toBeGreaterThanOrEqual(5);
        for (const { looksAt, shows: said, cannotShow } of rules) {
          expect(said.length).toBeGreaterThan(0);
          for (const sentence of [looksAt, ...said, cannotShow]) {
            expect(sentence).toMatch(/^[A-Z][^{}]*\.$/);
            expect(sentence).not.toMatch(/NaN|undefined|null|Infinity/);
            expect(sentence).not.toMatch(
              /good lift|no lift|white light|red light|disqualif|\b(would|will) (pass|fail)|\billegal|\bvalid\b/i,
            );
          }
        }
        expect(authoritySentence(federation)).toMatch(
          /current rulebook is the authority, and the referees decide/,
        );
      }),
    );
  });

  it('tell no fall where the clip cannot carry heights, and no pause or stop where it cannot carry durations', () => {
    fc.assert(
      fc.property(lifts, evidence, check, noise, (lift, seen, clip, rest) => {
        const notCarried = notCarriedBy(clip, rest);
        const said = whatRefereesLookAt(lift, { ...seen, notCarried })
          .flatMap((rule) => rule.shows)
          .join(' ');
        const { vertical, tempo } = clip.verdicts;
        expect(notCarried.includes('tempo')).toBe(tempo === 'cannot carry' || rest.svMps === 0.05);
        if (vertical === 'cannot carry') {
          expect(said).not.toMatch(/came down by|sank by|heaved by|settled by|short of|none of more/);
          expect(said).toContain('cannot carry heights');
        } else expect(said).not.toContain('cannot carry heights');
        if (notCarried.includes('tempo')) {
          expect(said).not.toMatch(/stopped (once|\d times)|did not stop|did not rest|still speed/);
          expect(said).toContain('cannot carry durations');
        } else expect(said).not.toContain('cannot carry durations');
      }),
    );
  });
});
