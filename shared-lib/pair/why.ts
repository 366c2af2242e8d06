import { measureInfo, type ChangeName } from '../contract/measures.ts';
import type { Call } from '../contract/pair.ts';
import type { CallInput } from './calls.ts';
import { texts } from '../texts/texts.ts';
import { Quantity, shownUnit } from './units.ts';

const words = texts.calls;

/** Why a measured difference got its call, one plain sentence. */
export function whyOf(call: Call | null, { change, d, l, thin, delta }: CallInput, name: ChangeName): string {
  if (call === null) return words.notCalled;
  const unit = shownUnit(name, measureInfo[name].unit);
  const worth = delta === null ? '' : new Quantity(unit, null).size(delta);
  const u95 = d === null ? 0 : (d[1] - d[0]) / 2;
  switch (call) {
    case 'changed':
      return words.changed(worth);
    case 'differs':
      return words.differs(
        worth,
        l === null ? words.openWithoutReps : thin ? words.openWithFewReps : words.openWithSpread,
      );
    case 'no clear change':
      return words.noClearChange(worth);
    case 'cannot tell':
      if (delta === null || change === null || d === null) return words.noWorth;
      return d[0] > 0 || d[1] < 0
        ? words.someDifference(worth)
        : words.openDifference(new Quantity(unit, u95).spread(u95, true), worth);
  }
}

/** What a rep lacks where a measure is undefined, for measures of something that need not be there. */
function missing(name: ChangeName, label: string): string {
  if (name === 'pause_s') return words.aPause;
  if (name.startsWith('sticking')) return words.aStickingPoint;
  return words.aValue(label);
}

/** Why there is no difference to show, one plain sentence. */
export function whyUndefined(
  name: ChangeName,
  label: string,
  reference: number | null,
  today: number | null,
): string {
  const what = missing(name, label);
  if (reference === null && today === null) return words.neither(what);
  if (reference === null) return words.onlyToday(what);
  if (today === null) return words.onlyReference(what);
  return words.openWhetherBoth(what);
}
