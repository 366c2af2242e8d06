import fc from 'fast-check';
import { describe, expect, it, vi } from 'vitest';

vi.mock('../../../shared-lib/texts/texts.ts', async (original) => {
  const { texts } = await original<typeof import('../../../shared-lib/texts/texts.ts')>();
  const { marked } = await import('./marked-language.ts');
  return { texts: marked(texts) };
});

const { captionEvents } = await import('../../../electron/media/film-captions.ts');
const { layOutTime } = await import('../../../electron/media/film-timeline.ts');
const { bodySentence } = await import('../../../shared-lib/body/sentences.ts');
const { cameraNotes } = await import('../../../shared-lib/camera/camera-notes.ts');
const { clipProblems } = await import('../../../shared-lib/camera/clip-problems.ts');
const { bodyEventsOf } = await import('../../../shared-lib/contract/body.ts');
const { nothingAsked } = await import('../../../shared-lib/contract/circumstances.ts');
const { liftSchema } = await import('../../../shared-lib/contract/lift.ts');
const { newSide } = await import('../../../shared-lib/contract/review.ts');
const { filmShapes } = await import('../../../shared-lib/contract/hand-back.ts');
const { letterOf } = await import('../../../shared-lib/hand-back/letter.ts');
const { messageOf } = await import('../../../shared-lib/hand-back/message.ts');
const { writtenSections } = await import('../../../shared-lib/hand-back/written.ts');
const { renderPage } = await import('../../../shared-lib/page/page.ts');
const { headlineSentences } = await import('../../../shared-lib/pair/headline-sentences.ts');
const { pairNotes } = await import('../../../shared-lib/pair/comparability.ts');
const { discQuestion } = await import('../../../shared-lib/trace/disc-question.ts');
const { lengthsQuestion } = await import('../../../shared-lib/rep/plausible-lengths.ts');
const { texts } = await import('../../../shared-lib/texts/texts.ts');
const { sideOf, specOf } = await import('../film/film-case.ts');
const { benchPressCoaching, benchPressPage, clipFile } = await import('../page/fixture.ts');
const { drawnFacts } = await import('./facts.ts');
const { unmarked, visibleTexts } = await import('./marked-language.ts');

/** What coaches and lifters said in the fixtures, and names. */
const said = [
  ...benchPressCoaching.cues.map(({ text }) => text),
  'Sit between your feet',
  'Chest up',
  'Why does it stall?',
  'left shoulder at the bottom',
  'low back the day after',
  ...['close grip', 'wide grip', 'belt, wraps', 'belt'],
  'Ines Calder, Harbour Lane Barbell Club',
  ...['bench-practice-90.mp4', 'bench-single-95.mp4', 'clip.mp4', 'side-by-side.mp4'],
];

const measured = { value: 0.02, lo95: 0.01, hi95: 0.03, u95: 0.01, unit: 'm' };
const bodyMeasures = ['place_m', 'trunk_rad', 'hip_rad', 'knee_rad', 'elbow_rad', 'crease_m'] as const;

/** All that is said of bodies: surely and not, up and down, with a side without marks and one that cannot be judged. */
const bodies = (lift: (typeof liftSchema.options)[number]): string[] =>
  bodyEventsOf[lift].flatMap((event) =>
    bodyMeasures.flatMap((name) => {
      const unit = name.endsWith('rad') ? ('rad' as const) : ('m' as const);
      const side = { ...measured, unit, event, name, viewU95: 0.01, canJudge: true };
      const of = (over: object) =>
        bodySentence(
          { event, name, unit, reference: side, today: side, change: { ...measured, unit }, ...over },
          lift,
        );
      return [
        of({}),
        of({ change: { ...measured, unit, value: -0.02, lo95: -0.03, hi95: -0.01 } }),
        of({ change: { ...measured, unit, lo95: -0.01 } }),
        of({ today: null, change: null }),
        of({ reference: null, today: { ...side, value: -0.02 }, change: null }),
        of({ today: { ...side, canJudge: false } }),
      ];
    }),
  );

const rep = (who: string, outcome: object, rebound: boolean, earlierAttempts: number, paused: boolean) =>
  ({
    who,
    events: { outcome, rebound, earlierAttempts },
    noise: {},
    check: undefined,
    paused,
    endsLowerM: 0.12,
  }) as never;

/** Everything that goes beside the changes of a pair. */
const notes = (lift: (typeof liftSchema.options)[number], sameVariant: boolean | null): string[] =>
  pairNotes({
    lift,
    sameVariant,
    referenceKg: 80,
    todayKg: 100,
    reps: [
      rep(texts.pair.who.reference, { kind: 'not completed', shortM: 0.1 }, true, 1, true),
      rep(texts.pair.who.today, { kind: 'completed' }, false, 2, false),
    ],
  });

const clipNotes = cameraNotes(
  {
    backgroundShare: 0.5,
    lens: { kappa: 0.03 },
  } as never,
  {
    plumb: 'proposed',
    rollRad: 0.02,
    sleeveEnd: { proudM: 0.2, cameraM: 3, factor: 0.93, factorSigma: 0.01 },
  } as never,
);

describe('what goes back, in another language', () => {
  it('has no word on the page that is not of its texts, a name or what somebody said', () => {
    const { check, calibration } = clipFile('clip.mp4');
    const question = discQuestion({
      check,
      calibration: { ...calibration, seed: { ...calibration.seed, sureness: 0.2 } },
    })!;
    const improbable = [
      { rom_m: 3, mean_drive_mps: 0.3 },
      { rom_m: 0.02, mean_drive_mps: 0.3 },
      { rom_m: 0.4, mean_drive_mps: 9 },
      { rom_m: 0.4, mean_drive_mps: 0.001 },
    ].map((rep) => lengthsQuestion('bench', [rep])!);
    fc.assert(
      fc.property(drawnFacts, fc.boolean(), (facts, coached) => {
        const base = benchPressPage();
        const { lift } = facts.pair;
        const clipOf = (which: 'reference' | 'today') => {
          const { clip } = facts[which];
          const advice = clipProblems(clip).map(({ problem, better }) => texts.clip.both(problem, better));
          return {
            ...clip,
            calibration: { ...clip.calibration, slowMotion: which === 'today' ? 4 : 1 },
            notes: [
              ...clipNotes,
              ...[question, ...improbable].map(({ said, advice }) => texts.clip.both(said, advice)),
            ],
            check: { ...clip.check, advice: [...advice, ...texts.clip.safely] },
          };
        };
        const page = renderPage({
          ...base,
          pair: {
            ...facts.pair,
            notes: [...notes(lift, null), ...notes(lift, false)],
            smoothing: { method: texts.clip.smoothing, cutoffHz: 6 },
          },
          reference: { ...base.reference, clip: clipOf('reference'), rep: facts.reference.rep },
          today: { ...base.today, clip: clipOf('today'), rep: facts.today.rep },
          headlines: headlineSentences(facts.pair.changes, lift),
          body: bodies(lift),
          letter: writtenSections(letterOf(facts), {}),
          days: { reference: coached ? '2026-03-01' : null, today: coached ? '2026-05-10' : null },
          recordOpen: !coached,
        });
        const seen = visibleTexts(page);
        expect(seen.length).toBeGreaterThan(100);
        expect(seen.flatMap((text) => unmarked(text, said))).toEqual([]);
      }),
      { numRuns: 60, endOnFailure: true },
    );
  });

  it('has none in the film, lying or upright', () => {
    const at = { start: 1.5, bottom: 3, lockout: 4 };
    const courses = { reference: at, today: { start: 1.2, bottom: 2.2, lockout: 4.2 } };
    const even = (fps: number, s: number): number[] => Array.from({ length: fps * s }, (_, i) => i / fps);
    const { film } = texts;
    const sides = [
      sideOf('a.mp4', even(30, 6), courses.reference, { title: film.titled(film.reference, '90 kg') }),
      sideOf('b.mp4', even(60, 4.8), courses.today, { title: film.today }),
    ] as const;
    for (const shape of filmShapes) {
      const moments = [{ referenceS: 3.2, todayS: 2.5, text: 'Chest up' }];
      const spec = { ...specOf(...sides, courses), today: sides[1], shape, moments, caution: film.caution };
      const words = captionEvents(spec, layOutTime(spec))
        .filter(({ style }) => style !== 'Drawing')
        .map(({ text }) =>
          text
            .replaceAll('\\{', '')
            .replace(/\{[^}]*\}/g, '')
            .replaceAll('\\N', ' '),
        );
      expect(words.length).toBeGreaterThan(10);
      expect(words.flatMap((text) => unmarked(text, said))).toEqual([]);
    }
  });

  it('has none in the message', () => {
    const side = newSide({ sha256: 'a'.repeat(64), name: 'single.mp4', bytes: 1 });
    const today = { ...side, circumstances: nothingAsked };
    for (const lift of liftSchema.options)
      for (const name of ['', 'Rowan Teale'])
        for (const clip of [
          null,
          { what: 'No bar was found.' },
          { ...clipFile('clip.mp4', { offSquareDeg: 50, fps: 10, shakePx: 900, hiddenShare: 0.7, rollDeg: 9, unevenness: 9, blurPx: 300, discDiameterPx: 40, duplicatedFrames: 200 }), timing: { ...clipFile('clip.mp4').timing, partial: true } },
        ]) {
          const asked = { lift, lifter: { name, bodyKg: null }, asked: '', reference: side, today };
          const text = messageOf(asked, clip, )!;
          expect(text.length).toBeGreaterThan(20);
          expect(unmarked(text, [...said, 'Rowan Teale'])).toEqual([]);
        } // prettier-ignore
  });

  it('would show a word that stands elsewhere', () => {
    expect(unmarked('⟦12.5 cm ¦ Chest up⟧ in the reference', said)).toEqual(['in the reference']);
    expect(visibleTexts('<p>⟦⟧ <b aria-label="Close it">x &amp; y</b></p>')).toEqual([
      '⟦⟧',
      'x & y',
      'Close it',
    ]);
  });
});
