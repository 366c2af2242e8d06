import type { Lift } from '../contract/lift.ts';
import type { MeasureName } from '../contract/measures.ts';
import type { Measure } from '../contract/rep.ts';
import { Quantity, shownUnit } from '../pair/units.ts';

type Measures = Partial<Record<MeasureName, Measure | null>>;

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
