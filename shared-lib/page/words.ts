import type { Facing, Lift } from '../contract/lift.ts';
import type { Change } from '../contract/pair.ts';
import { measureInfo, type ChangeName } from '../contract/measures.ts';
import { type directionWords, measureLabel, sentenceOf } from '../pair/sentences.ts';
import { Quantity, shownUnit } from '../pair/units.ts';
import { texts } from '../texts/texts.ts';

/** Directions of the bar plane in words: forward is positive x. */
export type Directions = ReturnType<typeof directionWords>;

/** +1 where forward is to the right in the pictures, so that charts and pictures agree. */
export const forwardSign = (facing: Facing): 1 | -1 => (facing === 'right' ? 1 : -1);

const horizontal = /^(drift_|bow_m$|first_angle_rad$|place_)/;
export const isHorizontal = (name: string): boolean => horizontal.test(name);

const isMeasure = (name: string): name is ChangeName => Object.hasOwn(measureInfo, name);

/** What a measure is called; a name the program does not know is spelt out. */
export function label(name: string, lift: Lift): string {
  return isMeasure(name)
    ? measureLabel(name, lift)
    : name.replace(/_(m|s|mps|pct|rad)$/, '').replaceAll('_', ' ');
}

/** A change in one sentence; the reason alone for a measure the program does not know. */
export const sentence = (c: Change, lift: Lift): string => (isMeasure(c.name) ? sentenceOf(c, lift) : c.why);

export const sentenceCase = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** What less and more of a measure are called: [below, above]. */
export function changeEnds(name: string, unit: string, d: Directions): readonly [string, string] {
  const { ends } = texts.measures;
  if (isHorizontal(name)) return [d.backward, d.forward];
  if (name === 'depth_m') return ends.depth;
  if (name.includes('height')) return ends.height;
  if (unit === 's') return ends.time;
  if (unit === 'm/s') return ends.speed;
  return ends.other;
}

/** The parts of a change as they are shown; a dash where there is no number. */
export interface ChangeWords {
  reference: string;
  today: string;
  change: string;
  interval: string;
}

/** Across the bar's way a direction instead of a sign: "10.4 cm toward the feet"; a zero has none. */
function toward(q: Quantity, si: number, d: Directions): string {
  const r = q.rounded(si);
  return r === 0 ? q.size(si) : `${q.size(si)} ${r > 0 ? d.forward : d.backward}`;
}

function spanAcross(q: Quantity, lo: number, hi: number, d: Directions): string {
  const [rLo, rHi] = [q.rounded(lo), q.rounded(hi)];
  if (rLo < 0 && rHi > 0) return texts.measures.range(toward(q, lo, d), toward(q, hi, d));
  const way = rHi > 0 ? ` ${d.forward}` : rLo < 0 ? ` ${d.backward}` : '';
  return q.sizes(lo, hi) + way;
}

/** Puts a change into words; horizontal ones carry a direction, never a sign. */
export function changeWords(c: Change, d: Directions): ChangeWords {
  const q = new Quantity(shownUnit(c.name, c.unit), c.u95);
  const flat = isHorizontal(c.name);
  const value = (si: number): string => (flat ? toward(q, si, d) : q.plain(si));
  const span = (lo: number, hi: number): string => (flat ? spanAcross(q, lo, hi, d) : q.interval(lo, hi));
  const none = '–';
  return {
    reference: c.reference === null ? none : value(c.reference),
    today: c.today === null ? none : value(c.today),
    change: c.change === null ? none : flat ? toward(q, c.change, d) : q.signed(c.change),
    interval: c.lo95 === null || c.hi95 === null ? none : span(c.lo95, c.hi95),
  };
}

/** A value alone, with its direction in words where it lies across the bar's way: "10.4 cm toward the feet". */
export function valueWords(name: string, unit: string, si: number, u95: number, d: Directions): string {
  const q = new Quantity(shownUnit(name, unit), u95);
  return isHorizontal(name) ? toward(q, si, d) : q.plain(si);
}

/** Where the next ordinary rep falls: "2.19 to 2.46 s", "3 cm toward the head to 20 cm toward the feet". */
export function bandWords(
  name: string,
  unit: string,
  { lo95, hi95 }: { lo95: number; hi95: number },
  d: Directions,
): string {
  const q = new Quantity(shownUnit(name, unit), (hi95 - lo95) / 4);
  return isHorizontal(name) ? spanAcross(q, lo95, hi95, d) : q.span(lo95, hi95);
}

/** The last part of a path, whichever way its slashes lean: a page tells nobody how a disk is laid out. */
export const fileName = (path: string): string => path.split(/[\\/]/).pop() ?? path;

/** Text whose numbers stay with their units and tolerances when a line breaks. */
export const bound = (text: string): string =>
  text.replace(/± (?=\d)/g, '±\u00a0').replace(/(\d) (?=(?:cm|mm|s|m\/s|kg|%|Hz)(?!\w))/g, '$1\u00a0');

/** An event's name in words. */
export const eventWord = (name: string): string => texts.measures.events[name] ?? name;
