import type { BodyChange } from '../contract/body.ts';
import type { Lift } from '../contract/lift.ts';
import type { MeasureName } from '../contract/measures.ts';
import type { Measure } from '../contract/rep.ts';
import type { PointPath } from '../contract/second-point.ts';
import { Quantity, shownUnit } from '../pair/units.ts';
import { leavesS } from './point-shifts.ts';

type Measures = Partial<Record<MeasureName, Measure | null>>;

const inSetUp: readonly BodyChange['name'][] = ['place_m', 'trunk_rad', 'hip_above_m'];

/** What was marked of the body at the start: where the bar is over it, and the hips against the bar. */
export const startSentences = (changes: readonly BodyChange[]): string[] =>
  changes
    .filter(({ event, name }) => event === 'start' && inSetUp.includes(name))
    .map(({ sentence }) => sentence);

/**
 * How far the hips rise while the bar begins to: hips that come up alone leave the lift to the back.
 *
 * @param barUpM how far the bar rose in its first moment, metres
 */
export function hipsSentence(who: string, points: readonly PointPath[], barUpM: number): string[] {
  const up = points
    .find(({ joint }) => joint === 'hip')
    ?.shifts.find(({ when }) => when === 'as the bar leaves')?.up;
  if (!up) return [];
  const cm = (m: number) => `${(100 * m).toFixed(1)} cm`;
  return [
    `${who}: in the first ${leavesS.toFixed(1)} s the bar rises ${cm(barUpM)} and the hip ${cm(up.value)} ± ${cm(up.u95)}.`,
  ];
}

/** What is seen of the set-up beside its marks: how long the bar took to settle, and how much it swayed, each rep in words. */
export function setUpSentences(
  lift: Lift,
  { reference, today }: Record<'reference' | 'today', Measures | null>,
): string[] {
  const sides = [
    ['today', today],
    ['in the reference', reference],
  ] as const;
  const told = (name: MeasureName): string[] =>
    sides.flatMap(([who, measures]) => {
      const measure = measures?.[name];
      if (!measure) return [];
      const quantity = new Quantity(shownUnit(name, measure.unit), measure.u95);
      return [`${quantity.plain(measure.value)} (${quantity.spread(measure.u95)}) ${who}`];
    });
  const settled = told('settle_s');
  const swayed = told('setup_sway_m');
  return [
    ...(lift === 'deadlift'
      ? []
      : [
          settled.length > 0
            ? `From the unrack the bar took to settle: ${settled.join(', ')}.`
            : 'Neither clip shows the bar being brought to the start: how it settled is not told.',
        ]),
    ...(swayed.length > 0
      ? [`In the second before the start the bar swayed by ${swayed.join(', ')}.`]
      : ['Neither clip shows a whole second before the start: sway is not told.']),
  ];
}
