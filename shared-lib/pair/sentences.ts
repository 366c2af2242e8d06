import type { Change } from '../contract/pair.ts';
import type { Lift } from '../contract/lift.ts';
import { measureInfo, type ChangeName } from '../contract/measures.ts';
import { texts } from '../texts/texts.ts';
import { Quantity, shownUnit } from './units.ts';

const words = texts.measures;

/** The two horizontal directions in words. */
export const directionWords = (lift: Lift): { forward: string; backward: string } => words.directions[lift];

/** What a measure is called on screens and pages, with directions in words. */
export const measureLabel = (name: ChangeName, lift: Lift): string =>
  words.labelsOf[lift][name] ?? words.labels[name];

/** `isSeen`: a difference that does not round to nothing. */
function statement(
  name: ChangeName,
  change: number,
  u95: number,
  lift: Lift,
): { isSeen: boolean; said: string } {
  const quantity = new Quantity(shownUnit(name, measureInfo[name].unit), u95);
  const isSeen = quantity.rounded(change) !== 0;
  const said = isSeen
    ? phrased(name, change, lift, words.sized(quantity.size(change), quantity.spread(u95)))
    : words.noDifference(measureLabel(name, lift), quantity.spread(u95, true));
  return { isSeen, said };
}

function phrased(name: ChangeName, change: number, lift: Lift, size: string): string {
  const { forward, backward } = directionWords(lift);
  const pair = name === 'drift_bottom_m' && lift === 'bench' ? words.benchTouch : words.phrases[name];
  return pair[change > 0 ? 0 : 1].replace('#', size).replace('>', forward).replace('<', backward);
}

/** What happened and by how much, without how sure it is and without a full stop: "The bar touched 2.7 cm further toward the feet". */
export function plainly({ name, change, u95 }: Change, lift: Lift): string {
  const measure = name as ChangeName;
  const quantity = new Quantity(shownUnit(measure, measureInfo[measure].unit), u95);
  return phrased(measure, change ?? 0, lift, quantity.size(change ?? 0));
}

/**
 * One change as a plain sentence with its number, unit, uncertainty and direction in words. Where there is no
 * number, the reason takes its place.
 */
export function sentenceOf(change: Change, lift: Lift): string {
  if (change.change === null || change.u95 === null) return change.why;
  const { isSeen, said } = statement(change.name as ChangeName, change.change, change.u95, lift);
  switch (change.call) {
    case 'no clear change':
      return isSeen ? words.noClearChange(said) : words.said(said);
    case 'cannot tell':
      return words.cannotTell(said, change.why.charAt(0).toLowerCase() + change.why.slice(1));
    case 'changed':
    case 'differs':
    case null:
      return words.said(said);
  }
}

const rank = (change: Change): number => {
  switch (change.call) {
    case 'changed':
      return 0;
    case 'differs':
      return 1;
    case null:
      return 3;
    case 'no clear change':
      return 2;
    case 'cannot tell':
      return 4;
  }
};

/**
 * The surest and largest first: what is called before what is not, then by how many times its uncertainty a
 * difference is. Changes without a number come last. The order of equals is kept.
 */
export function surestFirst(changes: readonly Change[]): Change[] {
  const strength = (c: Change) => (c.change === null || !c.u95 ? -1 : Math.abs(c.change) / c.u95);
  const place = (c: Change) => (c.change === null ? 5 : rank(c));
  return [...changes].sort((a, b) => place(a) - place(b) || strength(b) - strength(a));
}
