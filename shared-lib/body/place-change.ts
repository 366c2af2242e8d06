import { quantileSorted } from 'd3-array';
import type { BodyMeasure } from '../contract/body.ts';
import type { Lift } from '../contract/lift.ts';
import { measureInfo } from '../contract/measures.ts';
import type { Change } from '../contract/pair.ts';
import type { PairFile } from '../contract/files.ts';
import { callOf } from '../pair/calls.ts';
import { placeNote } from '../pair/comparability.ts';
import { whyOf } from '../pair/why.ts';
import { texts } from '../texts/texts.ts';

/** A lift has six headline measures, the place at the start among them: it may make a sixth of the false calls. */
const falseShare = 0.05 / 6;

/**
 * Where the bar starts over the landmark as a headline change, with a call.
 *
 * @param draws of the difference, today minus reference
 */
export function placeChange(
  reference: BodyMeasure,
  today: BodyMeasure,
  draws: Float64Array,
  lift: Lift,
): Change {
  const { delta, unit } = measureInfo.place_start_m;
  const sorted = Array.from(draws).sort((a, b) => a - b);
  const change = today.value - reference.value;
  const lo95 = Math.min(change, quantileSorted(sorted, falseShare / 2)!);
  const hi95 = Math.max(change, quantileSorted(sorted, 1 - falseShare / 2)!);
  const canJudge = reference.canJudge && today.canJudge;
  const input = { change, d: [lo95, hi95] as const, l: null, delta, ruledOut: !canJudge };
  const call = callOf(input);
  const landmark = lift === 'bench' ? 'shoulder' : 'foot';
  return {
    name: 'place_start_m',
    unit,
    reference: reference.value,
    today: today.value,
    change,
    lo95,
    hi95,
    u95: (hi95 - lo95) / 2,
    call,
    why: canJudge ? whyOf(call, input, 'place_start_m') : texts.pair.placeOpen[landmark],
  };
}

/** A pair with this place first among its changes, in place of another one, and nothing said of a place that is not known. */
export const withPlace = <Pair extends Pick<PairFile, 'changes' | 'notes' | 'lift'>>(
  pair: Pair,
  place: Change | null,
): Pair => {
  const changes = pair.changes.filter(({ name }) => name !== 'place_start_m');
  const unknown = placeNote(pair.lift);
  const notes = pair.notes.filter((note) => note !== unknown);
  return place
    ? { ...pair, changes: [place, ...changes], notes }
    : { ...pair, changes, notes: [unknown, ...notes] };
};
