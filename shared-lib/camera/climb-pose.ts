import type { DiscView } from '../trace/disc-views.ts';
import type { PoseFit, PoseParameters, PoseProblem } from './disc-pose.ts';
import { fitAll, type FitElsewhere } from './fit-all.ts';

const rad = Math.PI / 180;
export const mostRings = 5;
/** The kernel of the last steps, a share of the radius: narrow enough to tell a rim from the lip or bevel 3 % inside it. */
export const finestKernel = 0.006;
const kernels = [2 * finestKernel, finestKernel] as const;
const steps = 4;
/** Steps with the first kernel, and how many of the fits that come of them go on with the second (set by judgement: more find no better poses on rendered clips). */
const roughSteps = 3;
const mostFine = 6;
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
  [0.012, 5 * rad, 0, 0],
  [0.012, -5 * rad, 0, 0],
];

/** Fits this near to each other in log focal length, yaw, pitch, log size and thickness settle on the same edges. */
const sameFit = [0.1, 0.7 * rad, 0.7 * rad, 0.003, 0.015] as const;
export const isSame = (a: PoseFit, b: PoseFit): boolean =>
  sameFit.every((within, k) => Math.abs(a.p[k] - b.p[k]) < within);

/** Fits this near to each other in all but focal length climb to one place mostly (set by judgement on rendered clips). */
const alike = [Infinity, 4 * rad, 4 * rad, 0.015, 0.03] as const;
export const isAlike = (a: PoseFit, b: PoseFit): boolean =>
  alike.every((within, k) => Math.abs(a.p[k] - b.p[k]) < within);

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

/** The same with the rim round what was fitted, which was a lip within it: concentric and parallel, so that angles stay. */
function asLip(p: PoseParameters): PoseParameters {
  const [focal, yaw, pitch, size, thickness, ...rings] = p;
  const within = [1, 0, ...rings].map((v, a) => (a % 2 === 0 ? v * lipShare : v));
  return [focal, yaw, pitch, size - Math.log(lipShare), thickness, ...within];
}

/** What fits climb on: few views, for time's sake. */
export interface Climb {
  problem: PoseProblem;
  views: readonly DiscView[];
  elsewhere: FitElsewhere | null;
}

/**
 * The best fit that small changes lead to from one, each fitted again with narrow kernels and with the rings that show under
 * it. With broad kernels a rim may settle between a lip and the true rim, on one of them here and on the other there: by
 * the narrow ones no edge speaks for such a place, and one step of the lip's breadth further many do.
 *
 * @param rivals other fits to the same views: what lies far below one is left as it is, and so is what has come to one
 */
export async function climbed(
  climb: Climb,
  from: PoseFit,
  rivals: readonly PoseFit[] = [],
): Promise<PoseFit> {
  const { problem, views } = climb;
  let here = problem.fit({ views, start: from.p, kernels, steps, near: from });
  if (rivals.some((rival) => here.score < rival.score - hopelessBy)) return here;
  for (let round = 0; round < mostRounds && !rivals.some((rival) => isSame(here, rival)); round++) {
    let next = await highest(climb, smallChanges(problem, here));
    if (next.score < here.score + leastGain) next = await highest(climb, farKept(problem, here));
    if (next.score < here.score + leastGain) break;
    here = next;
  }
  return here;
}

type Start = Pick<PoseFit, 'p' | 'views'>;

/** The best of the fits from some places: all are drawn in roughly, and only the likeliest of them finely. */
async function highest({ problem, views, elsewhere }: Climb, starts: readonly Start[]): Promise<PoseFit> {
  const fitted = (from: readonly Start[], kernel: number, steps: number): Promise<PoseFit[]> =>
    fitAll(
      problem,
      from.map((near) => ({ views, start: near.p, kernels: [kernel], steps, near })),
      elsewhere,
    );
  const rough = await fitted(starts, kernels[0], roughSteps);
  const likeliest = rough.sort((a, b) => b.score - a.score).slice(0, mostFine);
  return (await fitted(likeliest, kernels[1], steps)).reduce((a, b) => (b.score > a.score ? b : a));
}

function smallChanges(problem: PoseProblem, here: PoseFit): Start[] {
  const moved = moves.flatMap(([growth, yawRad, pitchRad, thicknessM]) => {
    const [focal, yaw, pitch, size, thickness] = here.p;
    const p = [focal, yaw + yawRad, pitch + pitchRad, size + growth, thickness + thicknessM];
    const rings = problem.withRings({ ...here, p }, mostRings);
    return pitchRad === 0 && thicknessM === 0 ? [rings, ...withLip(problem, rings)] : [rings];
  });
  const thicker = problem
    .thicknessesShown(here)
    .filter((thicknessM) => Math.abs(thicknessM - here.p[4]) > sameFit[4])
    .map((thicknessM) => here.p.with(4, thicknessM));
  return [
    ...[...moved, asLip(here.p), ...thicker].map((p) => ({ p, views: here.views })),
    ...problem.withConcentric(here, mostRings),
  ];
}

/**
 * Changes to try with the far rim left in place: of the thickness in metres, of the tilt as a multiple. What is seen of a thick
 * disc's side and of a tilted thin one's is much the same, and no change of one alone leads from one to the other. Set by judgement
 * on rendered clips.
 */
const thickerBy = [-0.03, 0.03, 0.06];
const tiltedBy = [0.85, 1, 1.2];
const leastThicknessM = 0.005;

function farKept(problem: PoseProblem, here: PoseFit): Start[] {
  const thicknesses = thickerBy
    .map((by) => here.p[4] + by)
    .filter((thicknessM) => thicknessM > leastThicknessM);
  return thicknesses.flatMap((thicknessM) =>
    tiltedBy.map((tilts) => {
      const start = problem.withFarKept(here, tilts, thicknessM);
      return { ...start, p: problem.withRings({ ...here, ...start }, mostRings) };
    }),
  );
}
