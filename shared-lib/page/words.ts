import type { Facing, Lift } from '../contract/lift.ts';
import type { Call, Change } from '../contract/pair.ts';
import { measureInfo } from '../contract/measures.ts';
import type { Verdict } from '../contract/clip.ts';
import { Quantity, shownUnit } from './units.ts';

export const liftWords: Record<Lift, string> = { squat: 'Squat', bench: 'Bench press', deadlift: 'Deadlift' };

/** Directions of the bar plane in words: forward is positive x. */
export interface Directions {
  forward: string;
  backward: string;
}
export function directions(lift: Lift): Directions {
  return lift === 'bench'
    ? { forward: 'toward the feet', backward: 'toward the head' }
    : { forward: 'toward the toes', backward: 'toward the heels' };
}

/** +1 where forward is to the right in the pictures, so that charts and pictures agree. */
export const forwardSign = (facing: Facing): 1 | -1 => (facing === 'right' ? 1 : -1);

export const callMeaning: Record<Call, string> = {
  changed: 'More than this lifter’s ordinary spread from rep to rep, and enough to act on.',
  differs:
    'These two reps differ by enough to act on. Whether the lifter has changed is open until more reps show the ordinary spread.',
  'no clear change': 'Any difference is smaller than one worth acting on.',
  'cannot tell': 'These clips cannot settle it either way.',
};

export const verdictWords: Record<Verdict, string> = {
  good: 'good',
  poor: 'poor, read with care',
  'cannot carry': 'this clip cannot carry it',
};

const horizontal = /^(drift_|bow_m$|place_)/;
export const isHorizontal = (name: string): boolean => horizontal.test(name);

export function measureLabel(name: string): string {
  if (Object.hasOwn(measureInfo, name)) return measureInfo[name as keyof typeof measureInfo].label;
  return name.replace(/_(m|s|mps|pct|rad)$/, '').replaceAll('_', ' ');
}

export const sentenceCase = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** What less and more of a measure are called: [below, above]. */
export function changeEnds(name: string, unit: string, d: Directions): readonly [string, string] {
  if (isHorizontal(name)) return [d.backward, d.forward];
  if (name === 'depth_m') return ['shallower', 'deeper'];
  if (name.includes('height')) return ['lower', 'higher'];
  if (unit === 's') return ['shorter', 'longer'];
  if (unit === 'm/s') return ['slower', 'faster'];
  return ['less', 'more'];
}

/** The parts of a change as they are shown; a dash where there is no number. */
export interface ChangeWords {
  reference: string;
  today: string;
  change: string;
  interval: string;
}

/** Puts a change into words; horizontal ones carry a direction, never a sign. */
export function changeWords(c: Change, d: Directions): ChangeWords {
  const q = new Quantity(shownUnit(c.name, c.unit), c.u95);
  const toward = (si: number): string => {
    const r = q.rounded(si);
    return r === 0 ? q.size(si) : `${q.size(si)} ${r > 0 ? d.forward : d.backward}`;
  };
  const flat = isHorizontal(c.name);
  const span = (lo: number, hi: number): string => {
    if (!flat) return q.interval(lo, hi);
    const [rLo, rHi] = [q.rounded(lo), q.rounded(hi)];
    if (rLo < 0 && rHi > 0) return `${toward(lo)} to ${toward(hi)}`;
    const way = rHi > 0 ? ` ${d.forward}` : rLo < 0 ? ` ${d.backward}` : '';
    return q.sizes(lo, hi) + way;
  };
  const none = '–';
  return {
    reference: c.reference === null ? none : flat ? toward(c.reference) : q.plain(c.reference),
    today: c.today === null ? none : flat ? toward(c.today) : q.plain(c.today),
    change: c.change === null ? none : flat ? toward(c.change) : q.signed(c.change),
    interval: c.lo95 === null || c.hi95 === null ? none : span(c.lo95, c.hi95),
  };
}

/** The last part of a path, whichever way its slashes lean: a page tells nobody how a disk is laid out. */
export const fileName = (path: string): string => path.split(/[\\/]/).pop() ?? path;
