import type { Change } from '../contract/pair.ts';
import type { Lift } from '../contract/lift.ts';
import { measureInfo, type ChangeName } from '../contract/measures.ts';
import { Quantity, shownUnit } from './units.ts';

/** The two horizontal directions in words. */
export function directionWords(lift: Lift): { forward: string; backward: string } {
  return lift === 'bench'
    ? { forward: 'toward the feet', backward: 'toward the head' }
    : { forward: 'toward the toes', backward: 'toward the heels' };
}

/**
 * What happened, for a difference above and below zero. `#` stands for the size, `>` for the forward and `<` for
 * the backward direction. On the bench "at the bottom" is at touch.
 */
const phrases: Record<ChangeName, readonly [more: string, less: string]> = {
  rom_m: ['The bar travelled # further', 'The bar travelled # less far'],
  depth_m: ['The bar went # deeper', 'The bar stayed # higher at the bottom'],
  descent_s: ['The descent took # longer', 'The descent was # shorter'],
  pause_s: ['The pause was # longer', 'The pause was # shorter'],
  drive_s: ['The drive took # longer', 'The drive was # shorter'],
  mean_drive_mps: ['The drive was # faster on average', 'The drive was # slower on average'],
  peak_drive_mps: ['The drive peaked # faster', 'The drive peaked # slower'],
  slowest_mps: ['The slowest point of the drive was # faster', 'The slowest point of the drive was # slower'],
  slowest_height_pct: [
    'The slowest point came # of the drive higher',
    'The slowest point came # of the drive lower',
  ],
  sticking_mps: ['The sticking point was # faster', 'The sticking point was # slower'],
  sticking_drop_mps: [
    'The bar lost # more speed into the sticking point',
    'The bar lost # less speed into the sticking point',
  ],
  sticking_height_pct: [
    'The sticking point came # of the drive higher',
    'The sticking point came # of the drive lower',
  ],
  sticking_s: ['The sticking region lasted # longer', 'The sticking region was # shorter'],
  mean_descent_mps: ['The descent was # faster on average', 'The descent was # slower on average'],
  peak_descent_mps: ['The descent peaked # faster', 'The descent peaked # slower'],
  peak_descent_height_m: [
    'The descent was fastest # higher above the bottom',
    'The descent was fastest # nearer the bottom',
  ],
  speed_5cm_mps: [
    'The bar came down # faster 5 cm above the bottom',
    'The bar came down # slower 5 cm above the bottom',
  ],
  hesitations: ['The descent had # more hesitations', 'The descent had # fewer hesitations'],
  sink_m: ['The bar sank # more after the touch', 'The bar sank # less after the touch'],
  heave_m: ['The bar was heaved # more before the drive', 'The bar was heaved # less before the drive'],
  drift_bottom_m: ['The bar was # further > at the bottom', 'The bar was # further < at the bottom'],
  drift_lockout_m: ['The bar was # further > at lockout', 'The bar was # further < at lockout'],
  drift_max_m: ['The bar strayed # further >', 'The bar strayed # less far >'],
  drift_min_m: ['The bar strayed # less far <', 'The bar strayed # further <'],
  bow_m: ['The drive bowed # further >', 'The drive bowed # further <'],
  first_angle_rad: ['The drive set off # more >', 'The drive set off # more <'],
  fall_m: ['The greatest fall in the drive was # larger', 'The greatest fall in the drive was # smaller'],
  stops: ['The drive had # more stops', 'The drive had # fewer stops'],
  longest_stop_s: [
    'The longest stop in the drive was # longer',
    'The longest stop in the drive was # shorter',
  ],
  settle_s: ['The bar took # longer to settle', 'The bar settled # sooner'],
  setup_sway_m: ['The bar swayed # more before the start', 'The bar swayed # less before the start'],
  sag_m: ['The bar sagged # more after lockout', 'The bar sagged # less after lockout'],
  hold_sway_m: ['The bar swayed # more after lockout', 'The bar swayed # less after lockout'],
  place_start_m: ['The bar started # further >', 'The bar started # further <'],
};

const benchTouch: readonly [string, string] = ['The bar touched # further >', 'The bar touched # further <'];

/** What a measure is called on screens and pages, with directions in words. */
export function measureLabel(name: ChangeName, lift: Lift): string {
  const { forward, backward } = directionWords(lift);
  if (name === 'drift_bottom_m' && lift === 'bench') return 'drift at touch';
  if (name === 'place_start_m')
    return `place of the bar over the ${lift === 'bench' ? 'shoulder' : 'mid-foot'} at the start`;
  if (name === 'drift_max_m') return `furthest drift ${forward}`;
  if (name === 'drift_min_m') return `furthest drift ${backward}`;
  return measureInfo[name].label;
}

function statement(name: ChangeName, change: number, u95: number, lift: Lift): string {
  const quantity = new Quantity(shownUnit(name, measureInfo[name].unit), u95);
  if (quantity.rounded(change) === 0)
    return `No difference seen in ${measureLabel(name, lift)} (${quantity.spread(u95, true)})`;
  return phrased(name, change, lift, `${quantity.size(change)} (${quantity.spread(u95)})`);
}

function phrased(name: ChangeName, change: number, lift: Lift, size: string): string {
  const { forward, backward } = directionWords(lift);
  const pair = name === 'drift_bottom_m' && lift === 'bench' ? benchTouch : phrases[name];
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
  const said = statement(change.name as ChangeName, change.change, change.u95, lift);
  switch (change.call) {
    case 'no clear change':
      return said.startsWith('No difference') ? `${said}.` : `${said}: no clear change.`;
    case 'cannot tell':
      return `${said}. Cannot tell: ${change.why.charAt(0).toLowerCase()}${change.why.slice(1)}`;
    case 'changed':
    case 'differs':
    case null:
      return `${said}.`;
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
