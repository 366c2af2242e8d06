import type { Knot } from '../contract/files.ts';
import type { RepEvents } from '../contract/rep.ts';

/** The events that can match, in time order, by the names of the agreement. */
const eventsOf = (events: RepEvents): readonly (readonly [name: string, tS: number | null])[] => [
  ['start', events.startS],
  ['touch', events.touchS],
  ['bottom', events.bottomS],
  ['drive start', events.driveStartS],
  ['lockout', events.lockoutS],
];

/**
 * The moments both reps have, in time order, strictly rising on both clocks. An event that coincides with or comes before
 * its predecessor in either rep is left out: in a deadlift start, lift-off and drive start are one moment.
 */
export function matchedKnots(reference: RepEvents, today: RepEvents): Knot[] {
  const knots: Knot[] = [];
  const b = eventsOf(today);
  eventsOf(reference).forEach(([event, referenceS], i) => {
    const todayS = b[i][1];
    if (referenceS === null || todayS === null) return;
    const last = knots.at(-1);
    if (last && !(referenceS > last.referenceS && todayS > last.todayS)) return;
    knots.push({ event, referenceS, todayS });
  });
  return knots;
}
