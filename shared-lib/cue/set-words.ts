import type { Lift } from '../contract/lift.ts';
import { measureInfo, type MeasureName } from '../contract/measures.ts';
import type { SetTrend } from '../contract/set.ts';
import { setTrends } from '../band/set-trends.ts';
import { changeEnds, isHorizontal } from '../page/words.ts';
import { directionWords, measureLabel } from '../pair/sentences.ts';
import { Quantity, shownUnit } from '../pair/units.ts';

type Values = Partial<Record<MeasureName, number | null>>;

/** A set needs this many reps before anything is said of its course. */
export const leastOfSet = 3;

/**
 * What happened over a set within one clip: how much speed was lost, what crept in from the first rep to the last, and in
 * what the last rep stands apart from those before it. A set judges itself alone.
 *
 * @param reps values by measure, in the order lifted
 */
export function setSentences(lift: Lift, reps: readonly Values[]): string[] {
  if (reps.length < leastOfSet) return [];
  const trends = setTrends(lift, reps);
  const creeping = trends.filter(({ creeps }) => creeps);
  const apart = trends.filter(({ name, last }) => {
    const worth = measureInfo[name].delta ?? 0;
    return last !== null && (last.lo95 > 0 || last.hi95 < 0) && Math.abs(last.deviation) >= worth;
  });
  const loss = velocityLoss(reps);
  return [
    ...(loss ? [loss] : []),
    ...creeping.map((trend) => crept(trend, lift)),
    ...apart.map(({ name, last }) => stands(name, last!, lift)),
    ...(creeping.length + apart.length > 0
      ? []
      : [`Nothing that is called crept in over these ${reps.length} reps beyond their own scatter.`]),
    'This set judges itself alone: what is usual for the lifter takes reps of several days.',
  ];
}

/** From the fastest rep to the last one, as speed lost over a set is told (common practice). */
function velocityLoss(reps: readonly Values[]): string | null {
  const speeds = reps.flatMap(({ mean_drive_mps: v }) => (typeof v === 'number' && v > 0 ? [v] : []));
  if (speeds.length < leastOfSet) return null;
  const [fastest, last] = [Math.max(...speeds), speeds.at(-1)!];
  const speed = new Quantity(shownUnit('mean_drive_mps', 'm/s'), null);
  const lost = Math.round(100 * (1 - last / fastest));
  return lost <= 0
    ? `The last rep was the fastest on the way up, ${speed.plain(last)} on average.`
    : `The last rep was ${lost} % slower on the way up than the fastest one: ${speed.plain(last)} against ${speed.plain(fastest)} on average.`;
}

function crept({ name, unit, total, lo95, hi95, reps }: SetTrend, lift: Lift): string {
  const quantity = new Quantity(shownUnit(name, unit), (hi95 - lo95) / 2);
  return `Over ${reps} reps ${measureLabel(name, lift)} crept ${quantity.size(total)} ${endOf(name, total, lift)} (${quantity.sizes(lo95, hi95)}).`;
}

function stands(name: MeasureName, last: NonNullable<SetTrend['last']>, lift: Lift): string {
  const { unit } = measureInfo[name];
  const quantity = new Quantity(shownUnit(name, unit), (last.hi95 - last.lo95) / 2);
  return `The last rep stands apart from those before it in ${measureLabel(name, lift)}: ${quantity.size(last.deviation)} ${endOf(name, last.deviation, lift)}.`;
}

function endOf(name: MeasureName, by: number, lift: Lift): string {
  const [less, more] = changeEnds(name, measureInfo[name].unit, directionWords(lift));
  return `${isHorizontal(name) ? 'further ' : ''}${by > 0 ? more : less}`;
}
