import type { BodyChange, BodyMeasure, BodyMeasureName } from '../contract/body.ts';
import type { Lift } from '../contract/lift.ts';
import type { Measure } from '../contract/rep.ts';
import { directionWords } from '../pair/sentences.ts';
import { texts } from '../texts/texts.ts';
import { unitOf } from './geometry.ts';

const words = texts.body;

export const eventWords = words.events;

export const measureWords = (name: BodyMeasureName, lift: Lift): string => words.measures[lift][name];

/** A size, with its uncertainty where there is one. */
function sized(name: BodyMeasureName, value: number, u95?: number): string {
  const shown = (v: number) =>
    unitOf(name) === 'rad' ? Math.round((180 / Math.PI) * v).toString() : (100 * v).toFixed(1);
  const unit = unitOf(name) === 'rad' ? '°' : ' cm';
  return u95 === undefined ? `${shown(value)}${unit}` : `${shown(value)} ± ${shown(u95)}${unit}`;
}

/** Where a horizontal size points, in words. */
const toward = (value: number, lift: Lift): string => {
  const { forward, backward } = directionWords(lift);
  return value >= 0 ? forward : backward;
};

/** A value with the direction it is told in. */
export function valueInWords({ name, value, u95 }: BodyMeasure, lift: Lift): string {
  const size = sized(name, Math.abs(value), u95);
  switch (name) {
    case 'place_m':
      return words.toward(size, toward(value, lift));
    case 'trunk_rad':
      return value >= 0 ? words.forward(size) : words.backward(size);
    case 'crease_m':
    case 'hip_above_m':
      return value >= 0 ? words.above(size) : words.below(size);
    case 'hip_rad':
    case 'knee_rad':
    case 'elbow_rad':
      return size;
  }
}

function changeInWords(name: BodyMeasureName, lift: Lift, { value, u95 }: Measure): string {
  const size = sized(name, Math.abs(value), u95);
  switch (name) {
    case 'place_m':
      return words.more(size, toward(value, lift));
    case 'trunk_rad':
      return value >= 0 ? words.furtherForward(size) : words.moreUpright(size);
    case 'crease_m':
    case 'hip_above_m':
      return value >= 0 ? words.higher(size) : words.lower(size);
    case 'hip_rad':
    case 'knee_rad':
    case 'elbow_rad':
      return value >= 0 ? words.moreOpen(size) : words.moreBent(size);
  }
}

/** One plain sentence of a body change: what differs and how surely, or why nothing can be told. */
export function bodySentence(
  { event, name, reference, today, change }: Omit<BodyChange, 'sentence'>,
  lift: Lift,
): string {
  const what = words.what(capital(measureWords(name, lift)), eventWords[event]);
  const unclear = [reference, today].find((m) => m && !m.canJudge);
  if (unclear) return words.notFromHere(what, sized(name, unclear.viewU95));
  if (!change)
    return today
      ? words.onlyToday(what, valueInWords(today, lift))
      : words.onlyReference(what, valueInWords(reference!, lift));
  const surely = change.lo95 > 0 || change.hi95 < 0;
  const by = changeInWords(name, lift, change);
  return surely ? words.differs(what, by) : words.same(what, by);
}

const capital = (words: string): string => words[0].toUpperCase() + words.slice(1);
