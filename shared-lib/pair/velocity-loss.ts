import type { SetCourse } from '../contract/set.ts';
import { drawBoth, quarters, type Quarter } from './joint-draws.ts';
import type { MeasuredClip } from './measured-clip.ts';
import { modelRep } from './rep-model.ts';
import { withInterval, type DrawOptions } from './uncertainty.ts';

/** Mean drive velocity of each rep of a set, m/s; null where a rep was not completed. */
export type MeanDrives = readonly (number | null)[];

/**
 * Draws of how much slower the last completed rep of a set is than its fastest, mean drive velocity, percent of the fastest (common
 * practice). Both are drawn together, as filmed by one camera with one disc: what that does to both cancels.
 *
 * @param which the quarters that are drawn, as in `drawBoth`; in the others is NaN
 * @returns null for fewer than two completed reps, and where the last is the fastest
 */
export function drawLoss(
  clip: MeasuredClip,
  meanDriveMps: MeanDrives,
  options: DrawOptions,
  which: readonly Quarter[] = quarters,
): Float64Array | null {
  const compared = fastestAndLast(meanDriveMps);
  if (!compared) return null;
  const [fastest, last] = compared;
  const [a, b] = drawBoth(
    [modelRep(clip, fastest.i), modelRep(clip, last.i)],
    { camera: true, disc: true },
    options,
    which,
  );
  return a.mean_drive_mps.map((fast, k) => percent(fast, b.mean_drive_mps[k]));
}

/** The loss from its draws, in one or in parts that hold different quarters. */
export function lossOf(
  meanDriveMps: MeanDrives,
  ...parts: readonly (Float64Array | null)[]
): SetCourse['velocityLoss'] {
  const compared = fastestAndLast(meanDriveMps);
  const [first, ...others] = parts;
  if (!compared || !first) return null;
  const draws = first.map((value, k) =>
    Number.isNaN(value) ? (others.find((part) => part && !Number.isNaN(part[k]))?.[k] ?? NaN) : value,
  );
  const [fastest, last] = compared;
  const held = withInterval(percent(fastest.v, last.v), draws);
  if (!held) return null;
  const { value, lo95, hi95 } = held;
  return {
    value,
    lo95,
    hi95,
    u95: (hi95 - lo95) / 2,
    unit: '%',
    fastestRep: fastest.i + 1,
    lastRep: last.i + 1,
  };
}

const percent = (fast: number, slow: number): number => 100 * (1 - slow / fast);

function fastestAndLast(meanDriveMps: MeanDrives) {
  const done = meanDriveMps.flatMap((v, i) => (v === null ? [] : [{ v, i }]));
  const last = done.at(-1);
  if (!last || done.length < 2) return null;
  const fastest = done.reduce((a, b) => (b.v > a.v ? b : a));
  return fastest.i === last.i ? null : ([fastest, last] as const);
}
