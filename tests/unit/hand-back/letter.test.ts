import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { writtenOf } from '../../../shared-lib/contract/hand-back.ts';
import { letterOf } from '../../../shared-lib/hand-back/letter.ts';
import { texts } from '../../../shared-lib/texts/texts.ts';
import { mustNotBeSaid } from '../../../shared-lib/hand-back/unsaid.ts';
import { writtenSections } from '../../../shared-lib/hand-back/written.ts';
import { renderPage } from '../../../shared-lib/page/page.ts';
import { headlineSentences } from '../../../shared-lib/pair/headline-sentences.ts';
import { benchPressCoaching, benchPressPage } from '../page/fixture.ts';
import { benchFacts, drawnFacts } from './facts.ts';
import { visibleTexts } from './marked-language.ts';

const plain = (text: string): string => text.replaceAll('\u00a0', ' ');
const lettersOf = (facts: Parameters<typeof letterOf>[0]) =>
  Object.fromEntries(letterOf(facts).map(({ key, text }) => [key, plain(text)]));

describe('the letter that is proposed', () => {
  const letter = lettersOf(benchFacts(benchPressCoaching));

  it('answers what was asked with what differs, the surest first, in a lifter’s words', () => {
    expect(letter.asked).toBe('“Why does it stall?”');
    expect(letter.answer).toBe(
      'Held against the reference rep: the descent was 0.44 s shorter; the bar touched 2.7 cm further toward the feet; the slowest point of the drive was 0.09 m/s slower.',
    );
  });

  it('says what held up, what is open and why', () => {
    expect(letter.heldUp).toBe(
      'As in the reference rep, as far as it matters: where the bar finished and the pause.',
    );
    expect(letter['open.bow_m']).toMatch(/^How far the bar bent off a straight line on the way up: /);
    expect(letter.start).toMatch(/no landmark/);
    expect(letter.evenness).toMatch(/one side/);
  });

  it('gives the main cue first, each with what it should bring', () => {
    const cues = letterOf(benchFacts(benchPressCoaching)).filter(({ cue }) => cue !== null);
    expect(cues.map(({ section, key }) => [section, key])).toEqual([
      ['mainCue', 'cue.n1'],
      ['mainCue', 'cue.n1.why'],
      ['otherCues', 'cue.n2'],
      ['otherCues', 'cue.n2.why'],
    ]);
    expect(letter['cue.n1.why']).toBe('It should show in the time on the way down: longer.');
  });

  it('gives the numbers that cues are about first, with how sure they are, and never more than four', () => {
    const numbers = Object.keys(letter).filter((key) => key.startsWith('number.'));
    expect(numbers).toEqual(['number.descent_s', 'number.drift_bottom_m', 'number.slowest_mps']);
    expect(letter['number.descent_s']).toBe(
      'The time on the way down: 1.72 s in the reference, 1.28 s today. Sure for these two reps: 0.39 to 0.49 s shorter.',
    );
    expect(letter['number.drift_bottom_m']).toBe(
      'Where the bar touched: 7.1 cm toward the feet in the reference, 9.8 cm toward the feet today. Sure for these two reps: 1.8 to 3.6 cm further toward the feet.',
    );
    expect(letter.habit).toMatch(/takes more reps to say/);
    expect(letter.loads).toBe(
      'The bar was loaded with 95 kg today and 90 kg in the reference: path and speed change with load.',
    );
  });

  it('passes pain on in the lifter’s words, and to a clinician', () => {
    const hurt = letterOf(benchFacts({ pain: ' left shoulder ' }));
    expect(hurt[0]).toMatchObject({ key: 'pain', fixed: true });
    expect(hurt[0].text).toMatch(/^You mentioned: “left shoulder”.*licensed clinician/);
  });

  it('tells that nothing needs to change, that it was too heavy to learn on, and of a competition', () => {
    const good = lettersOf(benchFacts({ nothingToChange: true, competition: '2026-12-12' }));
    expect(good.nothingToChange).toMatch(/keep doing/);
    expect(good.competition).toMatch(/12 December 2026/);
    expect(lettersOf(benchFacts({ ...benchPressCoaching, tooHeavyToLearn: true })).tooHeavy).toMatch(
      /no room to learn/,
    );
  });

  it('tells of two clips without a review everything that can be told, and asks for no cue', () => {
    const bare = lettersOf({ ...benchFacts(), said: null });
    expect(Object.keys(bare).filter((key) => key.startsWith('number.'))).toHaveLength(5);
    expect(Object.keys(bare).some((key) => key.startsWith('cue') || key === 'word')).toBe(false);
  });
});

describe('what the coach makes of it', () => {
  const parts = letterOf(benchFacts(benchPressCoaching));
  const of = (said: Record<string, string>) =>
    writtenSections(parts, said).map(({ name, texts }): [string, string[]] => [
      name,
      texts.map(({ text }) => text),
    ]);

  it('takes the coach’s words where there are any, and leaves out what is emptied', () => {
    const written = Object.fromEntries(
      of({ answer: 'Because you dive into it.', heldUp: '', word: 'Nice.' }),
    );
    expect(written.answer).toEqual(['“Why does it stall?”', 'Because you dive into it.']);
    expect(written.word).toEqual(['Nice.']);
    expect(written).not.toHaveProperty('heldUp');
  });

  it('keeps the cautions, whatever is said of them', () => {
    const emptied = Object.fromEntries(parts.map(({ key }) => [key, '']));
    expect(of(emptied).map(([name]) => name)).toEqual(['filmNext', 'cautions']);
    expect(of(emptied).flatMap(([, told]) => told)).toContain(texts.letter.filmSafely);
  });
});

describe('a hand-back never rules, diagnoses, ranks or adds load', () => {
  it.each([
    ['That was a good lift.', 'a ruling'],
    ['It would pass.', 'a ruling'],
    ['No lift: you were high.', 'a ruling'],
    ['You reached parallel.', 'a depth verdict'],
    ['That is deep enough.', 'a depth verdict'],
    ['Your shoulder hurts because the elbows flare.', 'a cause of pain'],
    ['This leads to injury.', 'a cause of pain'],
    ['Your triceps are weak.', 'a weak muscle'],
    ['You have weak glutes.', 'a weak muscle'],
    ['That was 92 % of your max.', 'a percentage of the maximum'],
    ['About 90 % 1RM.', 'a percentage of the maximum'],
    ['You are stronger than most lifters.', 'a comparison with other lifters'],
    ['Add 5 kg next time.', 'advice to add load'],
    ['You are ready for more weight.', 'advice to add load'],
  ])('knows by its words: %s', (text, what) => {
    expect(mustNotBeSaid(text).join()).toContain(what);
  });

  it('in anything that is proposed, over drawn reviews', () => {
    fc.assert(
      fc.property(drawnFacts, (facts) => {
        for (const part of letterOf(facts)) {
          // A lifter's or a coach's own words are theirs.
          if (part.key === 'pain' || part.key === 'asked') continue;
          const said = plain(writtenOf(part, {}));
          expect([part.key, said, mustNotBeSaid(said)]).toEqual([part.key, said, []]);
          expect(said).not.toMatch(/NaN|undefined|null|Infinity/);
        }
      }),
    );
  });

  it('in any text that there is to say it with', () => {
    const some = ['this', 'that'];
    const tries: unknown[][] = [
      ['this', 'that', 'other', 'more'],
      [1],
      ['this', 1],
      [new Date(0)],
      [some, some],
    ];
    const called = (text: (...given: unknown[]) => unknown): unknown => {
      for (const given of tries) {
        try {
          return text(...given);
        } catch {
          continue;
        }
      }
      throw new Error(`No words were found for ${String(text)}`);
    };
    const all = (value: unknown): string[] => {
      if (typeof value === 'string') return [value];
      if (typeof value === 'function') return all(called(value as () => unknown));
      return value !== null && typeof value === 'object' ? Object.values(value).flatMap(all) : [];
    };
    // What is said of pain denies what it must not say.
    const { unsaid, ...told } = { ...texts, letter: { ...texts.letter, pain: '' } };
    expect(unsaid).toHaveLength(7);
    const said = all(told);
    expect(said.length).toBeGreaterThan(300);
    expect(said.map((text) => [text, mustNotBeSaid(text)]).filter(([, found]) => found.length > 0)).toEqual(
      [],
    );
  });

  it('on the whole page, the folded part among it, over drawn reviews', () => {
    const page = benchPressPage();
    fc.assert(
      fc.property(drawnFacts, (facts) => {
        const html = renderPage({
          ...page,
          pair: { ...facts.pair, smoothing: { method: texts.clip.smoothing, cutoffHz: 6 } },
          reference: { ...page.reference, ...facts.reference },
          today: { ...page.today, ...facts.today },
          headlines: headlineSentences(facts.pair.changes, facts.pair.lift),
          // What is said of pain denies what it must not say.
          letter: writtenSections(letterOf(facts), {}).filter(({ name }) => name !== 'pain'),
        });
        const said = visibleTexts(html).map(plain);
        expect(said.filter((text) => mustNotBeSaid(text).length > 0)).toEqual([]);
        if (facts.today.clip.check.offSquareDeg > 10)
          expect(said.join(' ')).not.toMatch(/how deep your hips went: (?!filmed|the bar was measured)/i);
      }),
      { numRuns: 40 },
    );
  });

  it('in no letter without its cautions, nor with one key twice', () => {
    fc.assert(
      fc.property(drawnFacts, (facts) => {
        const parts = letterOf(facts);
        const keys = parts.map(({ key }) => key);
        expect(new Set(keys).size).toBe(keys.length);
        const fixed = parts.filter((part) => part.fixed).map(({ text }) => text).join(' '); // prettier-ignore
        expect(fixed).toMatch(/licensed clinician.*referees decide.*spotters or safeties/);
        if (facts.said?.coaching.pain) expect(parts[0].text).toContain(facts.said.coaching.pain);
      }),
    );
  });
});
