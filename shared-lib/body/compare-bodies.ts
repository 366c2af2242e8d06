import { bodyEventsOf, type BodyChange, type BodyMeasure } from '../contract/body.ts';
import type { Lift } from '../contract/lift.ts';
import type { Change } from '../contract/pair.ts';
import { measuresOf, unitOf } from './geometry.ts';
import { intervalOf, measureBody, type BodySide, type DrawnMeasure } from './measure-body.ts';
import { placeChange } from './place-change.ts';
import { bodySentence } from './sentences.ts';

type Sides = Record<'reference' | 'today', Omit<BodySide, 'view' | 'hand'> | null>;

export interface ComparedBodies {
  changes: BodyChange[];
  /** Where the bar starts over its landmark, today against the reference; null where a rep lacks its marks. */
  place: Change | null;
}

/**
 * The bodies of a pair at their matched events: every measure of either side, and today minus reference where both have
 * it. With the same camera what its view leaves open is the same in both and cancels; the marks' own errors never do.
 */
export function compareBodies(sides: Sides, lift: Lift, sameCamera: boolean): ComparedBodies {
  const drawn = (name: 'reference' | 'today'): DrawnMeasure[] => {
    const side = sides[name];
    return side ? measureBody({ ...side, view: sameCamera ? 'both' : name, hand: name }, lift) : [];
  };
  const [reference, today] = [drawn('reference'), drawn('today')];
  const starts = [reference, today].map((list) =>
    list.find(({ measure }) => measure.event === 'start' && measure.name === 'place_m'),
  );
  const changes = bodyEventsOf[lift].flatMap((event) =>
    measuresOf[lift].flatMap((name) => {
      const of = (list: DrawnMeasure[]) =>
        list.find(({ measure }) => measure.event === event && measure.name === name) ?? null;
      const [first, second] = [of(reference), of(today)];
      if (!first && !second) return [];
      const change = first && second ? difference(first, second) : null;
      const said: Omit<BodyChange, 'sentence'> = {
        event,
        name,
        unit: unitOf(name),
        reference: first?.measure ?? null,
        today: second?.measure ?? null,
        change,
      };
      return [{ ...said, sentence: bodySentence(said, lift) }];
    }),
  );
  const [before, now] = starts;
  const place = before && now ? placeChange(before.measure, now.measure, less(now, before), lift) : null;
  return { changes, place };
}

const less = (second: DrawnMeasure, first: DrawnMeasure): Float64Array =>
  second.draws.map((d, k) => d - first.draws[k]);

function difference(first: DrawnMeasure, second: DrawnMeasure): BodyChange['change'] {
  const value = (m: BodyMeasure) => m.value;
  const change = value(second.measure) - value(first.measure);
  return intervalOf(change, less(second, first), unitOf(first.measure.name));
}
