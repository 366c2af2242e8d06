import fc from 'fast-check';
import { nothingAsked } from '../../../shared-lib/contract/circumstances.ts';
import { nothingCoached, type Coaching } from '../../../shared-lib/contract/coaching.ts';
import type { ClipFile } from '../../../shared-lib/contract/clip.ts';
import { liftSchema, type Lift } from '../../../shared-lib/contract/lift.ts';
import {
  headlineMeasures,
  measureInfo,
  measureNames,
  type MeasureName,
} from '../../../shared-lib/contract/measures.ts';
import { callSchema, type Change } from '../../../shared-lib/contract/pair.ts';
import { cueCallSchema } from '../../../shared-lib/contract/weeks.ts';
import { whyNotComparable } from '../../../shared-lib/cue/comparable.ts';
import { texts } from '../../../shared-lib/texts/texts.ts';
import type { LetterFacts } from '../../../shared-lib/hand-back/letter.ts';
import { ruledOutBecause } from '../../../shared-lib/pair/comparability.ts';
import { whyOf, whyUndefined } from '../../../shared-lib/pair/why.ts';
import { benchPressPage, clipFile } from '../page/fixture.ts';

const page = benchPressPage();

/** A bench press pair of the page's fixture, with what a coach says of it. */
export const benchFacts = (coaching: Partial<Coaching> = {}, asked = 'Why does it stall?'): LetterFacts => ({
  pair: page.pair,
  reference: page.reference,
  today: page.today,
  said: { asked, coaching: { ...nothingCoached, ...coaching } },
  earlier: [],
  notComparable: [],
});

const seconds = fc.double({ min: 0, max: 9, noNaN: true });
const moment = fc.record({ side: fc.constantFrom('reference' as const, 'today' as const), tS: seconds });
const kg = fc.option(fc.double({ min: 20, max: 350, noNaN: true }));

const change = (name: Change['name'], isHeadline: boolean): fc.Arbitrary<Change> => {
  const { unit, delta } = measureInfo[name as keyof typeof measureInfo];
  const size = unit === 'm' ? 0.2 : unit === '%' ? 90 : 2;
  const value = fc.option(fc.double({ min: -size, max: size, noNaN: true }));
  return fc
    .tuple(value, value, fc.double({ min: 0.001, max: size, noNaN: true }), fc.option(callSchema.options.length ? fc.constantFrom(...callSchema.options) : fc.constant(null)), fc.boolean())
    .map(([reference, today, u95, drawn, isRuledOut]) => {
      const both = reference !== null && today !== null;
      const difference = both ? today - reference : null;
      const call = !isHeadline ? null : both ? drawn : 'cannot tell';
      const d = difference === null ? null : ([difference - u95, difference + u95] as const);
      const input = { change: difference ?? 0, d: d ?? ([0, 0] as const), l: null, thin: false, delta, ruledOut: isRuledOut };
      const named = name as MeasureName;
      const ruledOut = isRuledOut && call === 'cannot tell' ? ruledOutBecause(named, [context, context], false) : null;
      const why = ruledOut ?? (both ? whyOf(call, input, named) : whyUndefined(named, texts.measures.labels[named], reference, today));
      return { name, unit, reference, today, change: difference, lo95: d?.[0] ?? null, hi95: d?.[1] ?? null, u95: both ? u95 : null, call, why };
    });
}; // prettier-ignore

const context = {
  events: {
    startS: 1,
    touchS: null,
    bottomS: 2,
    pauseStartS: null,
    pauseEndS: null,
    driveStartS: 2.2,
    lockoutS: 4,
    earlierAttempts: 0,
    rebound: false,
    outcome: { kind: 'completed' as const },
  },
  check: undefined,
  noise: { vMps: 0.001, yM: 0.001, xM: 0.001 } as never,
  paused: null,
  endsLowerM: null,
  who: 'today’s rep',
};

const check = (): fc.Arbitrary<ClipFile> =>
  fc
    .record({
      offSquareDeg: fc.double({ min: 0, max: 60, noNaN: true }),
      rollDeg: fc.double({ min: -20, max: 20, noNaN: true }),
      shakePx: fc.double({ min: 0, max: 200, noNaN: true }),
      fps: fc.double({ min: 5, max: 240, noNaN: true }),
      unevenness: fc.double({ min: 1, max: 12, noNaN: true }),
      duplicatedFrames: fc.integer({ min: 0, max: 300 }),
      blurPx: fc.option(fc.double({ min: 0, max: 400, noNaN: true })),
      discDiameterPx: fc.double({ min: 20, max: 600, noNaN: true }),
      hiddenShare: fc.double({ min: 0, max: 1, noNaN: true }),
    })
    .map((figures) => clipFile('clip.mp4', figures));

const circumstances = fc.record({
  day: fc.constantFrom(null, '2026-03-01', '2026-05-10'),
  variant: fc.constantFrom(null, 'close grip', 'wide grip'),
  bottom: fc.constantFrom(null, 'paused' as const, 'touch-and-go' as const),
  equipment: fc.constantFrom(null, 'belt', 'belt, wraps'),
  intent: fc.constantFrom(null, 'as fast as possible' as const, 'controlled' as const),
  repsLeft: fc.option(fc.integer({ min: 0, max: 20 })),
  inSession: fc.constantFrom(null, 'warm-up' as const, 'first work set' as const, 'later set' as const),
});

const coachingOf = (lift: Lift): fc.Arbitrary<Coaching> =>
  fc
    .record({
      pain: fc.constantFrom('', 'left shoulder at the bottom', 'low back the day after'),
      nothingToChange: fc.boolean(),
      tooHeavyToLearn: fc.boolean(),
      competition: fc.constantFrom(null, '2026-12-12'),
      seen: fc.uniqueArray(fc.constantFrom(...texts.letter.oftenSeen[lift]), { maxLength: 3 }),
      cues: fc.array(fc.tuple(fc.constantFrom(...headlineMeasures(lift)), fc.constantFrom('more' as const, 'less' as const), moment, fc.boolean()), { maxLength: 3 }),
    })
    .map(({ seen, cues, ...rest }) => ({
      ...nothingCoached,
      ...rest,
      observations: seen.map((text, i) => ({ id: `o${i}`, text, moment: { side: 'today' as const, tS: i } })),
      cues: cues.map(([measure, wanted, at, isSeen], i) => ({
        id: `n${i}`,
        text: 'Sit between your feet',
        aim: isSeen && seen.length > 0 ? { kind: 'observation' as const, observation: 'o0' } : { kind: 'measure' as const, measure, wanted },
        moment: at,
      })),
    })); // prettier-ignore

/** Reviews of any lift, with any calls, clips, circumstances and anything a coach can say by choosing. */
export const drawnFacts: fc.Arbitrary<LetterFacts> = fc
  .constantFrom(...liftSchema.options)
  .chain((lift) =>
    fc.record({
      lift: fc.constant(lift),
      changes: fc.tuple(...measureNames.map((name) => change(name, headlineMeasures(lift).includes(name)))),
      loads: fc.tuple(kg, kg),
      clips: fc.tuple(check(), check()),
      coaching: fc.option(coachingOf(lift)),
      circumstances: fc.tuple(circumstances, circumstances),
      shortM: fc.option(fc.double({ min: 0.01, max: 0.4, noNaN: true })),
      earlier: fc.array(fc.constantFrom(...cueCallSchema.options), { maxLength: 3 }),
    }),
  )
  .map(({ lift, changes, loads, clips, coaching, circumstances: [a, b], shortM, earlier }): LetterFacts => {
    const asked = (at: typeof a, loadKg: number | null) => ({ lift, loadKg, circumstances: { ...nothingAsked, ...at } });
    const outcome = shortM === null ? { kind: 'completed' as const } : { kind: 'not completed' as const, shortM };
    return {
      pair: { ...page.pair, lift, changes, reference: { ...page.pair.reference, loadKg: loads[0] }, today: { ...page.pair.today, loadKg: loads[1] } },
      reference: { clip: clips[0], rep: page.reference.rep },
      today: { clip: clips[1], rep: { ...page.today.rep, outcome } },
      said: coaching && { asked: '', coaching },
      earlier: earlier.map((call, i) => ({
        review: `r${i}`,
        cue: 'n1',
        givenAt: '2026-03-01T10:00:00Z',
        text: 'Chest up',
        main: i === 0,
        aim: { kind: 'measure', measure: 'descent_s', wanted: 'less' },
        about: 'descent',
        before: { value: 2.6, lo95: 2.5, hi95: 2.7, u95: 0.1, unit: 's' },
        now: { value: 1.6, lo95: 1.5, hi95: 1.7, u95: 0.1, unit: 's' },
        call,
        why: 'It went the wanted way.',
      })),
      notComparable: whyNotComparable(asked(a, loads[0]), asked(b, loads[1])),
    };
  }); // prettier-ignore
