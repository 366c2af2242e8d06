import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { nothingAsked } from '../../../shared-lib/contract/circumstances.ts';
import type { Measure } from '../../../shared-lib/contract/rep.ts';
import { whyNotComparable, type RepAsked } from '../../../shared-lib/cue/comparable.ts';
import { callOfCue, callOfSeen, type CueQuestion } from '../../../shared-lib/cue/cue-call.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';

const measure = (value: number, u95: number): Measure => ({
  value,
  lo95: value - u95,
  hi95: value + u95,
  u95,
  unit: 'm',
});
const drift = (before: number, now: number, u95 = 0.008): CueQuestion => ({
  wanted: 'less',
  before: measure(before, u95),
  now: measure(now, u95),
  delta: 0.02,
  scatterU95: null,
  notComparable: null,
});

describe('whether a cue took', () => {
  it('is yes where the measure went the wanted way surely and by what is worth acting on', () => {
    expect(callOfCue(drift(0.08, 0.045)).call).toBe('took');
    expect(callOfCue({ ...drift(0.045, 0.08), wanted: 'more' }).call).toBe('took');
    expect(callOfCue(drift(0.08, 0.045)).why).toContain('how much this lifter’s reps scatter is not known');
  });

  it('is not yet where it surely went less far than that, or the other way', () => {
    expect(callOfCue(drift(0.08, 0.079)).call).toBe('not yet');
    expect(callOfCue(drift(0.045, 0.08))).toEqual({ call: 'not yet', why: 'It went the other way.' });
  });

  it('cannot be told where the step and its uncertainty straddle what is worth acting on', () => {
    expect(callOfCue(drift(0.08, 0.065)).call).toBe('cannot tell');
    // A step of 3.5 cm is sure of ± 1.1 cm and open with ± 5 cm.
    expect(callOfCue(drift(0.08, 0.045, 0.035)).call).toBe('cannot tell');
    // Ordinary scatter of ± 4 cm between two reps leaves it open too.
    expect(callOfCue({ ...drift(0.08, 0.045), scatterU95: 0.04 }).call).toBe('cannot tell');
  });

  it('cannot be told of what was not measured, or of reps that do not compare, and says so', () => {
    expect(callOfCue({ ...drift(0, 0), before: null }).why).toContain('review that gave the cue');
    expect(callOfCue({ ...drift(0, 0), now: null }).why).toContain('not measured today');
    expect(callOfCue({ ...drift(0.08, 0), notComparable: 'It is another lift.' })).toEqual({
      call: 'cannot tell',
      why: 'It is another lift.',
    });
  });

  it('reads each end of a lopsided interval on its own side', () => {
    const lopsided: Measure = { value: 0.08, lo95: 0.079, hi95: 0.12, u95: 0.0205, unit: 'm' };
    // Before may have been higher, which only makes the step down larger.
    expect(callOfCue({ ...drift(0.08, 0.055, 0.001), before: lopsided }).call).toBe('took');
    expect(callOfCue({ ...drift(0.08, 0.105, 0.001), before: lopsided, wanted: 'more' }).call).toBe(
      'cannot tell',
    );
  });

  it('without an agreed difference goes by what is sure', () => {
    expect(callOfCue({ ...drift(0.08, 0.065), delta: null }).call).toBe('took');
    expect(callOfCue({ ...drift(0.065, 0.08), delta: null }).call).toBe('not yet');
    expect(callOfCue({ ...drift(0.08, 0.078), delta: null }).call).toBe('cannot tell');
  });

  it('is the same in a mirror', () => {
    const number = fc.double({ min: -0.2, max: 0.2, noNaN: true });
    const u = fc.double({ min: 0, max: 0.05, noNaN: true });
    fc.assert(
      fc.property(number, number, u, (before, now, u95) => {
        const there = callOfCue({ ...drift(before, now, u95), wanted: 'more' });
        expect(callOfCue({ ...drift(-before, -now, u95), wanted: 'less' })).toEqual(there);
      }),
    );
  });

  it('is said falsely of a lifter who did not change in fewer than one review in forty', () => {
    const random = seededRandom(5);
    const u95 = 0.015;
    let took = 0;
    const trials = 4000;
    for (let i = 0; i < trials; i++) {
      const at = (): number => 0.08 + (u95 / 1.96) * random.normal();
      if (callOfCue(drift(at(), at(), u95)).call === 'took') took++;
    }
    expect(took / trials).toBeLessThan(0.03);
    expect(took).toBeGreaterThan(0);
  });

  it('of something seen is the coach’s to say', () => {
    expect(callOfSeen(true).call).toBe('not yet');
    expect(callOfSeen(false).call).toBe('took');
    expect(callOfSeen(null).call).toBe('cannot tell');
  });
});

describe('reps that compare', () => {
  const rep = (over: Partial<RepAsked>, asked: Partial<RepAsked['circumstances']> = {}): RepAsked => ({
    lift: 'bench',
    loadKg: 100,
    circumstances: { ...nothingAsked, ...asked },
    ...over,
  });

  it('are those of the same lift within 5 % of load against which nothing was said', () => {
    expect(whyNotComparable(rep({ loadKg: 105 }), rep({}))).toEqual([]);
    expect(whyNotComparable(rep({}, { bottom: 'paused' }), rep({}))).toEqual([]);
    expect(whyNotComparable(rep({}, { equipment: 'Belt ' }), rep({}, { equipment: 'belt' }))).toEqual([]);
  });

  it.each<[string, RepAsked, RepAsked, RegExp]>([
    ['load', rep({ loadKg: 94 }), rep({}), /more than 5 % from today’s 100/],
    ['unknown load', rep({ loadKg: null }), rep({}), /not known/],
    ['lift', rep({ lift: 'squat' }), rep({}), /another lift/],
    [
      'pause',
      rep({}, { bottom: 'paused' }),
      rep({}, { bottom: 'touch-and-go' }),
      /was paused and today’s is touch/,
    ],
    ['variant', rep({}, { variant: 'close grip' }), rep({}, { variant: 'wide grip' }), /close grip/],
    [
      'equipment',
      rep({}, { equipment: 'belt' }),
      rep({}, { equipment: 'wraps' }),
      /with belt, today’s with wraps/,
    ],
    [
      'intent',
      rep({}, { intent: 'controlled' }),
      rep({}, { intent: 'as fast as possible' }),
      /meant controlled/,
    ],
    ['effort', rep({}, { repsLeft: 5 }), rep({}, { repsLeft: 1 }), /effort differs/],
    [
      'place in the session',
      rep({}, { inSession: 'warm-up' }),
      rep({}, { inSession: 'later set' }),
      /fatigue/,
    ],
  ])('do not where they differ in %s, with a sentence', (_, earlier, today, sentence) => {
    const why = whyNotComparable(earlier, today);
    expect(why).toHaveLength(1);
    expect(why[0]).toMatch(sentence);
  });
});
