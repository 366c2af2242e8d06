import { measureInfo, type ChangeName } from '../contract/measures.ts';
import type { Call } from '../contract/pair.ts';
import type { CallInput } from './calls.ts';
import { Quantity, shownUnit } from './units.ts';

/** Why a measured difference got its call, one plain sentence. */
export function whyOf(call: Call | null, { change, d, l, thin, delta }: CallInput, name: ChangeName): string {
  if (call === null) return 'Shown with its own interval and not called.';
  const unit = shownUnit(name, measureInfo[name].unit);
  const worth = delta === null ? '' : new Quantity(unit, null).size(delta);
  const u95 = d === null ? 0 : (d[1] - d[0]) / 2;
  switch (call) {
    case 'changed':
      return `The difference reaches the ${worth} worth acting on and goes beyond the lifter’s ordinary rep-to-rep spread.`;
    case 'differs':
      return `These two reps differ by at least the ${worth} worth acting on; ${
        l === null
          ? 'whether the lifter has changed is open until there are several reference reps.'
          : thin
            ? 'the reference reps are too few, or of one day, to say whether the lifter has changed.'
            : 'ordinary reps of this lifter differ as much.'
      }`;
    case 'no clear change':
      return `The difference lies within ± ${worth}, the least worth acting on, as surely as 95 in 100.`;
    case 'cannot tell':
      if (delta === null || change === null || d === null)
        return 'There is no agreed difference worth acting on.';
      return d[0] > 0 || d[1] < 0
        ? `There is a difference, but whether it reaches the ${worth} worth acting on is open.`
        : `The uncertainty of ${new Quantity(unit, u95).spread(u95, true)} leaves open whether there is a difference of ${worth}.`;
  }
}

/** What a rep lacks where a measure is undefined, for measures of something that need not be there. */
function missing(name: ChangeName, label: string): string {
  if (name === 'pause_s') return 'a pause of 0.2 s or longer';
  if (name.startsWith('sticking')) return 'a sticking point';
  return `a value for ${label}`;
}

/** Why there is no difference to show, one plain sentence. */
export function whyUndefined(
  name: ChangeName,
  label: string,
  reference: number | null,
  today: number | null,
): string {
  const what = missing(name, label);
  if (reference === null && today === null) return `Neither rep has ${what}.`;
  if (reference === null) return `Today’s rep has ${what}, the reference rep has none.`;
  if (today === null) return `The reference rep has ${what}, today’s rep has none.`;
  return `Whether both reps have ${what} is open within the uncertainty.`;
}
