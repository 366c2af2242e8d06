import { bodyEventsOf, type BodyChange, type BodyMeasure } from '../contract/body.ts';
import type { Lift } from '../contract/lift.ts';
import { measuresOf, unitOf } from './geometry.ts';
import { intervalOf, measureBody, type BodySide, type DrawnMeasure } from './measure-body.ts';
import { bodySentence } from './sentences.ts';

type Sides = Record<'reference' | 'today', Omit<BodySide, 'view' | 'hand'> | null>;

/**
 * The bodies of a pair at their matched events: every measure of either side, and today minus reference where both have
 * it. With the same camera what its view leaves open is the same in both and cancels; the marks' own errors never do.
 */
export function compareBodies(sides: Sides, lift: Lift, sameCamera: boolean): BodyChange[] {
  const drawn = (name: 'reference' | 'today'): DrawnMeasure[] => {
    const side = sides[name];
    return side ? measureBody({ ...side, view: sameCamera ? 'both' : name, hand: name }, lift) : [];
  };
  const [reference, today] = [drawn('reference'), drawn('today')];
  return bodyEventsOf[lift].flatMap((event) =>
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
}

function difference(first: DrawnMeasure, second: DrawnMeasure): BodyChange['change'] {
  const value = (m: BodyMeasure) => m.value;
  const draws = second.draws.map((d, k) => d - first.draws[k]);
  return intervalOf(value(second.measure) - value(first.measure), draws, unitOf(first.measure.name));
}
