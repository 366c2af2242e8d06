import type { Coaching, Cue } from '../contract/coaching.ts';
import type { ClipFile } from '../contract/clip.ts';
import type { PairFile, RepFileEntry } from '../contract/files.ts';
import type { LetterPart, LetterSectionName } from '../contract/hand-back.ts';
import type { Lift } from '../contract/lift.ts';
import type { CueNow } from '../contract/weeks.ts';
import { clipProblems } from '../camera/clip-problems.ts';
import { wayWords } from '../cue/words.ts';
import { valueWords } from '../page/words.ts';
import { directionWords, plainly, surestFirst } from '../pair/sentences.ts';
import { Quantity, load, shownUnit } from '../pair/units.ts';
import { fewNumbers, nounOf, numberSentence } from './numbers.ts';
import { texts } from '../texts/texts.ts';

/** One rep as the letter needs it. */
export interface LetterRep {
  clip: ClipFile;
  rep: RepFileEntry;
}

export interface LetterFacts {
  pair: PairFile;
  reference: LetterRep;
  today: LetterRep;
  /** Null where two clips were compared without a review. */
  said: { asked: string; coaching: Coaching } | null;
  /** Cues of earlier reviews, held against today. */
  earlier: readonly CueNow[];
  /** Why the two reps do not compare, a sentence each. */
  notComparable: readonly string[];
  /** Hip crease and top of the knee were marked at the bottom: depth is told with the body. */
  isDepthMarked?: boolean;
}

/** Further off square than this a picture from the side no longer shows how deep the hips went, degrees; common practice. */
const sideFromDeg = 10;
const cm = new Quantity(shownUnit('rom_m', 'm'), null);
const words = texts.letter;

/** Everything that is proposed to go back, in the order in which it is read. */
export function letterOf(facts: LetterFacts): LetterPart[] {
  return [
    ...pain(facts),
    ...(facts.said ? [part('word', 'word', '')] : []),
    ...answer(facts),
    ...earlier(facts),
    ...heldUp(facts),
    ...cues(facts),
    ...numbers(facts),
    ...notJudged(facts),
    ...filmNext(facts),
    ...words.cautions.map((text, i) => part(`caution.${i}`, 'cautions', text, { fixed: true })),
  ];
}

const part = (
  key: string,
  section: LetterSectionName,
  text: string,
  { fixed = false, cue = null }: { fixed?: boolean; cue?: string | null } = {},
): LetterPart => ({ key, section, text, fixed, cue });

function pain({ said }: LetterFacts): LetterPart[] {
  const hurts = said?.coaching.pain.trim();
  return hurts ? [part('pain', 'pain', words.pain(hurts), { fixed: true })] : [];
}

function answer({ pair, said }: LetterFacts): LetterPart[] {
  const asked = said?.asked.trim();
  const { lift } = pair;
  const called = surestFirst(pair.changes.filter(({ call }) => call !== null));
  const differ = called.filter(({ call }) => call === 'changed' || call === 'differs');
  const isOpen = called.every(({ call }) => call === 'cannot tell');
  const found = differ.map((change) => inside(plainly(change, lift)));
  const text = found.length > 0 ? words.differs(found) : isOpen ? words.nothingTold : words.nothingDiffers;
  return [...(asked ? [part('asked', 'answer', words.asked(asked))] : []), part('answer', 'answer', text)];
}

/** A sentence's beginning where it does not begin one. */
const inside = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);

function earlier(facts: LetterFacts): LetterPart[] {
  return facts.earlier.map(({ review, cue, text, call, aim, before, now }) => {
    const figure = (measure: typeof before): string | null =>
      measure && aim.kind === 'measure'
        ? valueWords(aim.measure, measure.unit, measure.value, measure.u95, directionWords(facts.pair.lift))
        : null;
    return part(
      `earlier.${review}.${cue}`,
      'earlier',
      outcome(words.earlier[call](text), figure(before), figure(now)),
    );
  });
}

const outcome = (said: string, then: string | null, now: string | null): string =>
  then && now ? words.thenAndNow(said, then, now) : said;

function heldUp({ pair: { changes, lift } }: LetterFacts): LetterPart[] {
  const same = changes.filter(({ call }) => call === 'no clear change');
  if (same.length === 0) return [];
  return [part('heldUp', 'heldUp', words.heldUp(same.map(({ name }) => nounOf(name, lift))))];
}

function cues({ said, pair: { lift } }: LetterFacts): LetterPart[] {
  if (!said) return [];
  const { coaching } = said;
  const [main, ...others] = coaching.cues;
  const of = (cue: Cue, section: LetterSectionName): LetterPart[] => [
    part(`cue.${cue.id}`, section, cue.text, { cue: cue.id }),
    part(`cue.${cue.id}.why`, section, whyOf(cue, coaching, lift), { cue: cue.id }),
  ];
  const main1 = (key: string, text: string): LetterPart => part(key, 'mainCue', text);
  return [
    ...(main ? of(main, 'mainCue') : []),
    ...(!main && coaching.nothingToChange ? [main1('nothingToChange', words.nothingToChange)] : []),
    ...(coaching.tooHeavyToLearn && main ? [main1('tooHeavy', words.tooHeavy)] : []),
    ...(coaching.competition
      ? [main1('competition', words.competition(words.day(new Date(coaching.competition))))]
      : []),
    ...others.flatMap((cue) => of(cue, 'otherCues')),
  ];
}

function whyOf({ aim }: Cue, { observations }: Coaching, lift: Lift): string {
  if (aim.kind === 'measure') return words.cueForMeasure(nounOf(aim.measure, lift), wayWords(aim, lift));
  const seen = observations.find(({ id }) => id === aim.observation)?.text;
  return seen ? words.cueForSeen(seen) : '';
}

function numbers({ pair, said }: LetterFacts): LetterPart[] {
  const aimed = said?.coaching.cues.flatMap(({ aim }) => (aim.kind === 'measure' ? [aim.measure] : []));
  const few = fewNumbers(pair.changes, aimed ?? null);
  const told = few.map((change) =>
    part(`number.${change.name}`, 'numbers', numberSentence(change, pair.lift)),
  );
  const habit = few.some(({ call }) => call === 'differs') ? [part('habit', 'numbers', words.habit)] : [];
  const [a, b] = [pair.reference.loadKg, pair.today.loadKg];
  const loads = a !== null && b !== null && a !== b ? [part('loads', 'numbers', words.loads(load(a), load(b)))] : []; // prettier-ignore
  return [...told, ...habit, ...(told.length > 0 ? loads : [])];
}

function notJudged({ pair, today, notComparable, isDepthMarked }: LetterFacts): LetterPart[] {
  const { lift, changes } = pair;
  const open = changes
    .filter(({ call }) => call === 'cannot tell')
    .map(({ name, why }) =>
      part(`open.${name}`, 'notJudged', words.notJudged(capital(nounOf(name, lift)), inside(why))),
    );
  const { outcome } = today.rep;
  const { offSquareDeg } = today.clip.check;
  const depth =
    offSquareDeg > sideFromDeg ? words.sideNotJudged(`${offSquareDeg.toFixed(0)}°`) : words.depthNotJudged;
  return [
    ...notComparable.map((why, i) => part(`apart.${i}`, 'notJudged', words.apart(inside(why)))),
    ...open,
    ...(outcome.kind === 'not completed'
      ? [part('notCompleted', 'notJudged', words.notCompleted(cm.size(outcome.shortM)))]
      : []),
    ...(pair.changes.some(({ name }) => name === 'place_start_m')
      ? []
      : [part('start', 'notJudged', words.startNotJudged)]),
    ...(lift === 'squat' && !isDepthMarked ? [part('depth', 'notJudged', depth)] : []),
    part('evenness', 'notJudged', words.evenness),
  ];
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

function filmNext({ today }: LetterFacts): LetterPart[] {
  const problems = clipProblems(today.clip);
  const told = problems.map(({ key, problem, better }) =>
    part(`film.${key}`, 'filmNext', texts.clip.both(problem, better)),
  );
  return [
    ...(told.length > 0 ? told : [part('film.well', 'filmNext', words.filmedWell)]),
    part('film.safely', 'filmNext', words.filmSafely, { fixed: true }),
  ];
}
