import type { Lift } from '../contract/lift.ts';
import type { WayDeviation } from '../contract/wished.ts';
import { directionWords } from '../pair/sentences.ts';
import { Quantity, shownUnit } from '../pair/units.ts';

const ways = { down: 'On the way down', up: 'On the way up' } as const;

/** What is found on one way, in a sentence with its numbers. */
export function deviationSentence(way: 'down' | 'up', found: WayDeviation, lift: Lift): string {
  const { deviationM, heightM, lo95M, hi95M, call } = found.largest;
  const u95 = (hi95M - lo95M) / 2;
  const cm = new Quantity(shownUnit('drift_max_m', 'm'), u95);
  const { forward, backward } = directionWords(lift);
  const side = deviationM > 0 ? forward : backward;
  const where = `${cm.size(heightM)} ${heightM < 0 ? 'below' : 'above'} the start`;
  const size = `${cm.size(deviationM)} (${cm.spread(u95)}) ${side} of the wished path`;
  switch (call) {
    case 'changed':
    case 'differs':
      return `${ways[way]} the bar was up to ${size}, ${where}.`;
    case 'no clear change':
      return `${ways[way]} the bar kept to the wished path: at most ${size}, ${where}.`;
    case 'cannot tell':
      return `${ways[way]} the clip does not decide whether the bar kept to the wished path: ${size}, ${where}.`;
  }
}
