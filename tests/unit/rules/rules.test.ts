import { describe, expect, it } from 'vitest';
import type { Measure } from '../../../shared-lib/contract/rep.ts';
import type { Lift } from '../../../shared-lib/contract/lift.ts';
import type { RuleEvidence } from '../../../shared-lib/rules/evidence.ts';
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
});
