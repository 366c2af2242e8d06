import type { Coaching, Cue } from '../contract/coaching.ts';
import type { ClipFile } from '../contract/clip.ts';
import type { PairFile, RepFileEntry } from '../contract/files.ts';
import type { LetterPart, LetterSectionName } from '../contract/hand-back.ts';
import type { Lift } from '../contract/lift.ts';
import type { CueNow } from '../contract/weeks.ts';
import { clipProblems } from '../camera/clip-problems.ts';
import { wayWords } from '../cue/words.ts';
import { plainly, surestFirst } from '../pair/sentences.ts';
import { Quantity, load, shownUnit } from '../pair/units.ts';
import { fewNumbers, nounOf, numberSentence } from './numbers.ts';
import type { Texts } from './texts.ts';

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
const day = new Intl.DateTimeFormat('en-GB', { dateStyle: 'long', timeZone: 'UTC' });

/** Everything that is proposed to go back, in the order in which it is read. */
export function letterOf(facts: LetterFacts, texts: Texts): LetterPart[] {
  return [
    ...pain(facts, texts),
    ...(facts.said ? [part('word', 'word', '')] : []),
    ...answer(facts, texts),
    ...earlier(facts, texts),
    ...heldUp(facts, texts),
    ...cues(facts, texts),
    ...numbers(facts, texts),
    ...notJudged(facts, texts),
    ...filmNext(facts, texts),
    ...texts.cautions.map((text, i) => part(`caution.${i}`, 'cautions', text, { fixed: true })),
  ];
}

const part = (
  key: string,
  section: LetterSectionName,
  text: string,
  { fixed = false, cue = null }: { fixed?: boolean; cue?: string | null } = {},
): LetterPart => ({ key, section, text, fixed, cue });

function pain({ said }: LetterFacts, texts: Texts): LetterPart[] {
  const hurts = said?.coaching.pain.trim();
  return hurts ? [part('pain', 'pain', texts.pain(hurts), { fixed: true })] : [];
}

function answer({ pair, said }: LetterFacts, texts: Texts): LetterPart[] {
  const asked = said?.asked.trim();
  const { lift } = pair;
  const called = surestFirst(pair.changes.filter(({ call }) => call !== null));
  const differ = called.filter(({ call }) => call === 'changed' || call === 'differs');
  const isOpen = called.every(({ call }) => call === 'cannot tell');
  const found = differ.map((change) => inside(plainly(change, lift)));
  const text = found.length > 0 ? texts.differs(found) : isOpen ? texts.nothingTold : texts.nothingDiffers;
  return [...(asked ? [part('asked', 'answer', texts.asked(asked))] : []), part('answer', 'answer', text)];
}

/** A sentence's beginning where it does not begin one. */
const inside = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);

function earlier(facts: LetterFacts, texts: Texts): LetterPart[] {
  return facts.earlier.map(({ review, cue, text, call, aim, before, now }) => {
    const figure = (measure: typeof before): string | null =>
      measure && aim.kind === 'measure'
        ? new Quantity(shownUnit(aim.measure, measure.unit), measure.u95).size(measure.value)
        : null;
    return part(
      `earlier.${review}.${cue}`,
      'earlier',
      texts.earlier(text, call, figure(before), figure(now)),
    );
  });
}

function heldUp({ pair: { changes, lift } }: LetterFacts, texts: Texts): LetterPart[] {
  const same = changes.filter(({ call }) => call === 'no clear change');
  if (same.length === 0) return [];
  return [part('heldUp', 'heldUp', texts.heldUp(same.map(({ name }) => nounOf(name, lift, texts))))];
}

function cues({ said, pair: { lift } }: LetterFacts, texts: Texts): LetterPart[] {
  if (!said) return [];
  const { coaching } = said;
  const [main, ...others] = coaching.cues;
  const of = (cue: Cue, section: LetterSectionName): LetterPart[] => [
    part(`cue.${cue.id}`, section, cue.text, { cue: cue.id }),
    part(`cue.${cue.id}.why`, section, whyOf(cue, coaching, lift, texts), { cue: cue.id }),
  ];
  const main1 = (key: string, text: string): LetterPart => part(key, 'mainCue', text);
  return [
    ...(main ? of(main, 'mainCue') : []),
    ...(!main && coaching.nothingToChange ? [main1('nothingToChange', texts.nothingToChange)] : []),
    ...(coaching.tooHeavyToLearn && main ? [main1('tooHeavy', texts.tooHeavy)] : []),
    ...(coaching.competition
      ? [main1('competition', texts.competition(day.format(new Date(coaching.competition))))]
      : []),
    ...others.flatMap((cue) => of(cue, 'otherCues')),
  ];
}

function whyOf({ aim }: Cue, { observations }: Coaching, lift: Lift, texts: Texts): string {
  if (aim.kind === 'measure')
    return texts.cueForMeasure(nounOf(aim.measure, lift, texts), wayWords(aim, lift));
  const seen = observations.find(({ id }) => id === aim.observation)?.text;
  return seen ? texts.cueForSeen(seen) : '';
}

function numbers({ pair, said }: LetterFacts, texts: Texts): LetterPart[] {
  const aimed = said?.coaching.cues.flatMap(({ aim }) => (aim.kind === 'measure' ? [aim.measure] : []));
  const few = fewNumbers(pair.changes, aimed ?? null);
  const told = few.map((change) =>
    part(`number.${change.name}`, 'numbers', numberSentence(change, pair.lift, texts)),
  );
  const habit = few.some(({ call }) => call === 'differs') ? [part('habit', 'numbers', texts.habit)] : [];
  const [a, b] = [pair.reference.loadKg, pair.today.loadKg];
  const loads = a !== null && b !== null && a !== b ? [part('loads', 'numbers', texts.loads(load(a), load(b)))] : []; // prettier-ignore
  return [...told, ...habit, ...(told.length > 0 ? loads : [])];
}

function notJudged({ pair, today, notComparable, isDepthMarked }: LetterFacts, texts: Texts): LetterPart[] {
  const { lift, changes } = pair;
  const open = changes
    .filter(({ call }) => call === 'cannot tell')
    .map(({ name, why }) =>
      part(`open.${name}`, 'notJudged', texts.notJudged(capital(nounOf(name, lift, texts)), inside(why))),
    );
  const { outcome } = today.rep;
  const { offSquareDeg } = today.clip.check;
  const depth =
    offSquareDeg > sideFromDeg ? texts.sideNotJudged(`${offSquareDeg.toFixed(0)}°`) : texts.depthNotJudged;
  return [
    ...notComparable.map((why, i) => part(`apart.${i}`, 'notJudged', texts.apart(inside(why)))),
    ...open,
    ...(outcome.kind === 'not completed'
      ? [part('notCompleted', 'notJudged', texts.notCompleted(cm.size(outcome.shortM)))]
      : []),
    ...(pair.changes.some(({ name }) => name === 'place_start_m')
      ? []
      : [part('start', 'notJudged', texts.startNotJudged)]),
    ...(lift === 'squat' && !isDepthMarked ? [part('depth', 'notJudged', depth)] : []),
    part('evenness', 'notJudged', texts.evenness),
  ];
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

function filmNext({ today }: LetterFacts, texts: Texts): LetterPart[] {
  const problems = clipProblems(today.clip);
  const told = problems.map(({ key, problem, better }) =>
    part(`film.${key}`, 'filmNext', texts.message.why(problem, better)),
  );
  return [
    ...(told.length > 0 ? told : [part('film.well', 'filmNext', texts.filmedWell)]),
    part('film.safely', 'filmNext', texts.filmSafely, { fixed: true }),
  ];
}
