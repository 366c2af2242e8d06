import type { CueAim } from '../contract/coaching.ts';
import type { Lift } from '../contract/lift.ts';
import { headlineMeasures, measureInfo, measureNames, type MeasureName } from '../contract/measures.ts';
import { changeEnds } from '../page/words.ts';
import { directionWords, measureLabel } from '../pair/sentences.ts';

/** Measures that a cue can be tied to: those that are called, the lift's headline first. */
export const cueMeasures = (lift: Lift): MeasureName[] => {
  const headline = headlineMeasures(lift);
  const others = measureNames.filter((name) => measureInfo[name].delta !== null && !headline.includes(name));
  return [...headline, ...others];
};

/** Which way a measure shall go, in words: "drift at touch: toward the head". */
export const aimWords = (aim: MeasureAim, lift: Lift): string =>
  `${measureLabel(aim.measure, lift)}: ${wayWords(aim, lift)}`;

/** The same without the measure: "toward the head". */
export function wayWords({ measure, wanted }: MeasureAim, lift: Lift): string {
  const [less, more] = changeEnds(measure, measureInfo[measure].unit, directionWords(lift));
  return wanted === 'more' ? more : less;
}

type MeasureAim = Extract<CueAim, { kind: 'measure' }>;
