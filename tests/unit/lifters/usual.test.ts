import { describe, expect, it } from 'vitest';
import { stateOf, usualMeasures } from '../../../electron/lifters/usual.ts';
import type { MeasuredRep } from '../../../electron/lifters/measured-rep.ts';
import type { UsualRep } from '../../../shared-lib/contract/band.ts';

const measure = (value: number, u95 = 0) => ({ value, lo95: value - u95, hi95: value + u95, u95, unit: 's' });
const rep = (value: number, day: string): UsualRep => ({
  clip: day,
  rep: 1,
  day,
  measures: { descent_s: measure(value), pause_s: null },
});
const usual = (...values: number[]) => ({
  reps: values.map((value, i) => rep(value, i < 3 ? '2026-03-01' : '2026-03-08')),
  todayClip: 'today',
});

describe('what is usual over the weeks', () => {
  // t(0.975, 2 degrees of freedom) = 4.302653 and with 4 of them 2.776445, as every printed table has it.
  it('is the prediction interval of the next rep, from three reps on', () => {
    expect(usualMeasures(['descent_s'], usual(1, 2), null)).toEqual([]);
    const [three] = usualMeasures(['descent_s', 'pause_s'], usual(1, 2, 3), null);
    expect(three).toMatchObject({ name: 'descent_s', today: null });
    expect(three.hi95 - 2).toBeCloseTo(4.302653 * Math.sqrt(4 / 3), 5);
    expect(2 - three.lo95).toBeCloseTo(4.302653 * Math.sqrt(4 / 3), 5);
  });

  it('counts what today’s rep is unsure of, which the others do not share', () => {
    const now = { descent_s: measure(3.5, 2) } as unknown as MeasuredRep['measures'];
    const [sure] = usualMeasures(['descent_s'], usual(1, 2, 3, 4, 5), null);
    const [unsure] = usualMeasures(['descent_s'], usual(1, 2, 3, 4, 5), now);
    expect(sure.hi95 - 3).toBeCloseTo(2.776445 * Math.sqrt(2.5 * 1.2), 5);
    expect(unsure.hi95 - 3).toBeCloseTo(Math.hypot(2.776445 * Math.sqrt(2.5 * 1.2), 2), 5);
    expect(unsure.today).toBe(3.5);
  });

  it('says what it is made of, or what it lacks', () => {
    expect(stateOf(usual(1))).toBe('No band yet: mark 2 more reps that compare with today’s.');
    expect(stateOf(usual(1, 2, 3))).toMatch(/^A thin band of 3 reps/);
    expect(stateOf(usual(1, 2, 3, 4, 5))).toBe('A full band of 5 reps from 2 sessions.');
  });
});
