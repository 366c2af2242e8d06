import type { Lift } from '../contract/lift.ts';
import { measureInfo, type MeasureName } from '../contract/measures.ts';
import type { Change } from '../contract/pair.ts';
import { changeEnds, changeWords, isHorizontal, label, sentenceCase } from '../page/words.ts';
import { directionWords, surestFirst } from '../pair/sentences.ts';
import { Quantity, shownUnit } from '../pair/units.ts';
import { texts } from '../texts/texts.ts';

const words = texts.letter;
const { nouns, benchNouns } = texts.measures;

/** More numbers than this nobody keeps in mind. */
const mostNumbers = 4;

/** What a measure is called to a lifter, inside a sentence. */
export const nounOf = (name: string, lift: Lift): string =>
  (lift === 'bench' ? benchNouns[name as MeasureName] : undefined) ??
  nouns[name as MeasureName] ??
  label(name, lift);

/**
 * The few numbers that matter: those that cues are about, then what differs, the surest first. Where no coach has chosen,
 * every measure that is called and can be told.
 *
 * @param aimed measures that cues are about, the main one's first; null where nobody coached
 */
export function fewNumbers(changes: readonly Change[], aimed: readonly string[] | null): Change[] {
  const told = surestFirst(changes.filter(({ call, change }) => call !== null && change !== null)).filter(
    ({ call }) => call !== 'cannot tell',
  );
  if (aimed === null) return told;
  const cued = aimed.flatMap((name) => changes.find((c) => c.name === name && c.today !== null) ?? []);
  const rest = told.filter((c) => c.call !== 'no clear change' && !cued.includes(c));
  const chosen = [...new Set([...cued, ...rest])].slice(0, mostNumbers);
  return chosen.length > 0 ? chosen : told.slice(0, 2);
}

/** One number in words: both values, then how sure the difference is. */
export function numberSentence(c: Change, lift: Lift): string {
  const noun = sentenceCase(nounOf(c.name, lift));
  const w = changeWords(c, directionWords(lift));
  if (c.today === null) return '';
  if (c.reference === null || c.change === null) return words.single(noun, w.today);
  return `${words.number(noun, w.reference, w.today)} ${howSure(c, lift)}`;
}

function howSure(c: Change, lift: Lift): string {
  switch (c.call) {
    case 'changed':
      return words.changed(spanWords(c, lift));
    case 'differs':
      return words.differsSurely(spanWords(c, lift));
    case 'no clear change': {
      const { delta, unit } = measureInfo[c.name as MeasureName];
      return words.same(new Quantity(shownUnit(c.name, unit), null).size(delta ?? 0));
    }
    case 'cannot tell':
    case null:
      return words.openDifference;
  }
}

/** "0.39 to 0.49 s shorter", "1.8 to 3.6 cm further toward the feet": the 95 % interval of a difference that is not zero. */
function spanWords(c: Change, lift: Lift): string {
  const { lo95, hi95, change } = c;
  const q = new Quantity(shownUnit(c.name, c.unit), c.u95);
  const d = directionWords(lift);
  const [less, more] = changeEnds(c.name, c.unit, d);
  const way = (change ?? 0) > 0 ? more : less;
  return `${q.sizes(lo95 ?? 0, hi95 ?? 0)} ${isHorizontal(c.name) ? texts.measures.further(way) : way}`;
}
