import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { callOf, type CallInput } from '../../../shared-lib/pair/calls.ts';

const base: CallInput = { change: 0.03, d: [0.02, 0.04], l: null, delta: 0.02, ruledOut: false };

describe('callOf', () => {
  it.each([
    ['changed', 'L excludes zero and the change is worth acting on', { l: [0.01, 0.05] }],
    ['changed', 'also downward', { change: -0.03, d: [-0.04, -0.02], l: [-0.05, -0.01] }],
    [
      'changed',
      'at exactly the difference worth acting on',
      { change: 0.02, d: [0.01, 0.03], l: [0.005, 0.035] },
    ],
    ['differs', 'the spread is unknown', {}],
    ['differs', 'the band is thin', { l: [0.01, 0.05], thin: true }],
    ['differs', 'L includes zero', { l: [-0.01, 0.07] }],
    ['no clear change', 'D lies inside ± delta', { change: 0.005, d: [-0.01, 0.019] }],
    [
      'no clear change',
      'there is a sure difference too small to act on',
      { change: 0.01, d: [0.005, 0.015] },
    ],
    [
      'no clear change',
      'L is wide but D lies inside ± delta',
      { change: 0, d: [-0.01, 0.01], l: [-0.1, 0.1] },
    ],
    ['cannot tell', 'D includes zero and reaches beyond delta', { change: 0.03, d: [-0.01, 0.07] }],
    [
      'cannot tell',
      'D excludes zero but the change is below delta and D is not inside',
      { change: 0.015, d: [0.005, 0.025] },
    ],
    ['cannot tell', 'D ends exactly at delta', { change: 0.01, d: [0, 0.02] }],
    ['cannot tell', 'the measure is ruled out', { ruledOut: true }],
    ['cannot tell', 'the measure is ruled out, whatever the band says', { ruledOut: true, l: [0.01, 0.05] }],
    ['cannot tell', 'the change is undefined', { change: null, d: null }],
    ['cannot tell', 'no difference worth acting on is agreed', { delta: null }],
  ] as const)('says %s where %s', (call, _, input) => {
    expect(callOf({ ...base, ...(input as Partial<CallInput>) })).toBe(call);
  });

  it('says the same of a difference and of its mirror image', () => {
    const x = fc.double({ min: -0.1, max: 0.1, noNaN: true });
    const half = fc.double({ min: 0, max: 0.1, noNaN: true });
    fc.assert(
      fc.property(x, half, half, half, (change, below, above, more) => {
        const d = [change - below, change + above] as const;
        const l = [d[0] - more, d[1] + more] as const;
        const said = callOf({ change, d, l, delta: 0.02, ruledOut: false });
        const mirrored = callOf({
          change: -change,
          d: [-d[1], -d[0]],
          l: [-l[1], -l[0]],
          delta: 0.02,
          ruledOut: false,
        });
        expect(mirrored).toBe(said);
        // Without a band there is never a claim about the lifter.
        expect(callOf({ change, d, l: null, delta: 0.02, ruledOut: false })).not.toBe('changed');
      }),
    );
  });
});
