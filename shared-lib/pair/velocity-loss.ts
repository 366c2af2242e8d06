import type { SetCourse } from '../contract/set.ts';
import { drawBoth } from './joint-draws.ts';
import type { MeasuredClip } from './measured-clip.ts';
import { modelRep } from './rep-model.ts';
import { withInterval, type DrawOptions } from './uncertainty.ts';

/**
 * How much slower the last completed rep of a set is than its fastest, mean drive velocity, percent of the fastest (common
 * practice). Both are drawn together, as filmed by one camera with one disc: what that does to both cancels.
 *
 * @param meanDriveMps by rep; null where a rep was not completed
 * @returns null for fewer than two completed reps, and where the last is the fastest
 */
export function velocityLoss(
  clip: MeasuredClip,
  meanDriveMps: readonly (number | null)[],
  options: DrawOptions = {},
): SetCourse['velocityLoss'] {
  const done = meanDriveMps.flatMap((v, i) => (v === null ? [] : [{ v, i }]));
  const last = done.at(-1);
  if (!last || done.length < 2) return null;
  const fastest = done.reduce((a, b) => (b.v > a.v ? b : a));
  if (fastest.i === last.i) return null;
  const [a, b] = drawBoth(
    [modelRep(clip, fastest.i), modelRep(clip, last.i)],
    { camera: true, disc: true },
    options,
  );
  const loss = (fast: number, slow: number): number => 100 * (1 - slow / fast);
  const draws = a.mean_drive_mps.map((fast, k) => loss(fast, b.mean_drive_mps[k]));
  const held = withInterval(loss(fastest.v, last.v), draws);
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
