import type { DiscView } from '../trace/disc-views.ts';
import { offsetOf, type PoseFit, type PoseParameters, type PoseProblem } from './disc-pose.ts';

const rad = Math.PI / 180;
export const mostRings = 3;
/** The kernel of the last steps, a share of the radius: narrow enough to tell a rim from the lip or bevel 3 % inside it. */
export const finestKernel = 0.006;
const kernels = [2 * finestKernel, finestKernel] as const;
const steps = 4;
const mostRounds = 4;
/** No fit to these few views has made up for more than half of this (measured on rendered clips). */
const hopelessBy = 90;
/** Less than this is no better. */
const leastGain = 1;

/** Changes to try: of the rim's log size, of yaw and pitch, of the disc's thickness in metres. Set by judgement on rendered clips. */
const moves: readonly (readonly [growth: number, yawRad: number, pitchRad: number, thicknessM: number])[] = [
  [0, 0, 0, 0],
  [0.012, 0, 0, 0],
  [0.024, 0, 0, 0],
  [-0.012, 0, 0, 0],
  [0, 5 * rad, 0, 0],
  [0, -5 * rad, 0, 0],
  [0, 0, 5 * rad, 0],
  [0, 0, -5 * rad, 0],
  [0, 0, 0, 0.06],
  [0.012, 5 * rad, 0, 0],
  [0.012, -5 * rad, 0, 0],
];

/** Lips and bevels begin about here, as a share of the radius (measured on rendered clips). */
const lipShare = 0.967;
const leastLipShare = 0.945;

/**
 * The same with a lip, where no ring is near one: it shows plainly on the side on which the disc's side lies dark behind a
 * dark rim, and on too few rays to be found among the rings.
 */
function withLip(problem: PoseProblem, p: PoseParameters): PoseParameters[] {
  const hasLip = problem.ringsIn(p).some(({ share }) => share > leastLipShare);
  return hasLip ? [] : [[...p, lipShare, 0]];
}

/**
 * The best fit that small changes lead to from one, each fitted again with narrow kernels and with the rings that show under
 * it. With broad kernels a rim may settle between a lip and the true rim, on one of them here and on the other there: by
 * the narrow ones no edge speaks for such a place, and one step of the lip's breadth further many do.
 *
 * @param isSizeKnown the rim's size stays
 * @param rival the score of another fit to the same views: what lies far below it is left as it is
 */
export function climbed(
  problem: PoseProblem,
  views: readonly DiscView[],
  from: PoseFit,
  { isSizeKnown = false, rival = -Infinity }: { isSizeKnown?: boolean; rival?: number } = {},
): PoseFit {
  const tried = isSizeKnown ? moves.filter(([growth]) => growth === 0) : moves;
  let here = problem.fit(views, from.p, kernels, steps, offsetOf(from));
  if (here.score < rival - hopelessBy) return here;
  for (let round = 0; round < mostRounds; round++) {
    const next = tried
      .flatMap(([growth, yawRad, pitchRad, thicknessM]) => {
        const [focal, yaw, pitch, size, thickness] = here.p;
        const p = [focal, yaw + yawRad, pitch + pitchRad, size + growth, thickness + thicknessM];
        const rings = problem.withRings({ ...here, p }, mostRings);
        const starts = pitchRad === 0 && thicknessM === 0 ? [rings, ...withLip(problem, rings)] : [rings];
        return starts.map((start) => problem.fit(views, start, kernels, steps, offsetOf(here)));
      })
      .reduce((a, b) => (b.score > a.score ? b : a));
    if (next.score < here.score + leastGain) break;
    here = next;
  }
  return here;
}
