import { describe, expect, it } from 'vitest';
import type { Cue } from '../../../shared-lib/contract/coaching.ts';
import { cueMoments } from '../../../shared-lib/hand-back/moments.ts';

const knots = [
  { event: 'start', referenceS: 1, todayS: 2 },
  { event: 'drive start', referenceS: 2, todayS: 5 },
  { event: 'lockout', referenceS: 4, todayS: 6 },
];
const cue = (side: 'reference' | 'today', tS: number): Cue => ({
  id: 'n1',
  text: 'Chest up',
  aim: { kind: 'measure', measure: 'descent_s', wanted: 'less' },
  moment: { side, tS },
});

describe('a cue’s moment in both reps', () => {
  it.each([
    ['today', 3.5, 1.5, 3.5],
    ['today', 5, 2, 5],
    ['today', 5.5, 3, 5.5],
    ['today', 1.5, 0.5, 1.5],
    ['today', 6.5, 4.5, 6.5],
    ['reference', 3, 3, 5.5],
  ] as const)('at %s %d s is %d s of the reference and %d s of today', (side, tS, referenceS, todayS) => {
    const [moment] = cueMoments([cue(side, tS)], knots);
    expect(moment.cue).toBe('n1');
    expect(moment.referenceS).toBeCloseTo(referenceS, 9);
    expect(moment.todayS).toBeCloseTo(todayS, 9);
  });

  it('is none where the reps share no event', () => {
    expect(cueMoments([cue('today', 1)], [])).toEqual([]);
  });
});
