import { determinant, inverse, Matrix } from 'ml-matrix';
import type { DiscView } from '../trace/disc-views.ts';
import { climbed, finestKernel, isAlike, isSame, mostRings } from './climb-pose.ts';
import { PoseProblem, type FitJob, type PoseFit, type PoseQuestion } from './disc-pose.ts';
import { fitAll, type FitElsewhere } from './fit-all.ts';
import { common } from './view-sums.ts';

const rad = Math.PI / 180;
/** Fits are improved step by step on fewer views, for time's sake. */
const climbViews = 8;
/** So many of the best fits climb, each unlike the others. */
const climbers = 4;
/** Tilts and thicknesses that the search starts from: degrees, degrees, metres. */
const firstGuesses = [-33, -18, -6, 6, 18, 33].flatMap((yaw) => [
  [yaw, 0, 0.04] as const,
  [yaw, 0, 0.12] as const,
  [yaw, 13, 0.05] as const,
  [yaw, -13, 0.05] as const,
]);
/** A rim that shows on fewer rays is no rim. */
const leastShown = 0.5;

export type Scored = Pick<PoseFit, 'p' | 'score'>;

/** What came of a search: the fit with most evidence, and what else there was. */
export interface Searched {
  problem: PoseProblem;
  first: PoseFit;
  evidence: number;
  /** Fits that climbed, each by how much less evidence it has. */
  judged: Scored[];
  /** Fits before they climbed, and the best of them. */
  finals: PoseFit[];
  rough: PoseFit;
}

/**
 * The disc that explains most of the edges.
 *
 * @param growths by how much larger than what was followed the rim is taken to be at first, logs
 * @returns null where hardly any of it shows
 */
export async function searchPose(
  question: PoseQuestion,
  growths: readonly number[],
  elsewhere: FitElsewhere | null,
): Promise<Searched | null> {
  const chosen = question.views;
  const problem = new PoseProblem(question);
  const fitted = (jobs: readonly FitJob[]): Promise<PoseFit[]> => fitAll(problem, jobs, elsewhere);

  const few = spread(chosen, 5);
  const guesses = growths.flatMap((growth) =>
    firstGuesses.map(([yaw, pitch, thicknessM]) => problem.start(yaw * rad, pitch * rad, thicknessM, growth)),
  );
  const drawnIn = await fitted(
    guesses.map((start) => ({ views: few, start, kernels: [0.05, 0.03], steps: 3, near: null })),
  );
  const starts = await fitted(
    drawnIn.map((near) => ({
      views: few,
      start: problem.withRings(near, mostRings),
      kernels: [0.03, 0.02],
      steps: 3,
      near,
    })),
  );
  const firsts = await fitted(
    [1, -1]
      .flatMap((side) => best(starts, side, 3))
      .map((near) => ({ views: chosen, start: near.p, kernels: [0.03, 0.012], steps: 4, near })),
  );
  // The rim may be the outermost circle that shows, and not the lip that was taken for it.
  const outers = firsts
    .map((near) => ({ near, p: problem.outermost(near) }))
    .filter(({ near, p }) => p !== near.p);
  const moved = await fitted(
    outers.map(({ near, p }) => ({
      views: chosen,
      start: p.slice(0, common),
      kernels: [0.018],
      steps: 3,
      near,
    })),
  );
  const movedFinely = await fitted(
    moved.map((near) => ({
      views: chosen,
      start: problem.withRings(near, mostRings),
      kernels: [0.012],
      steps: 5,
      near,
    })),
  );
  const finals = firsts.flatMap((fit) => {
    const at = outers.findIndex(({ near }) => near === fit);
    return at < 0 ? [fit] : [fit, movedFinely[at]];
  });
  const [rough] = best(finals, 0, 1);
  if (!rough || rough.shown < leastShown) return null;
  const climb = { problem, views: spread(chosen, climbViews), elsewhere };
  const found = [await climbed(climb, rough)];
  const turnedOver = await fitted(
    [...unlike(finals, isAlike), ...found].map((fit) => {
      const turned = problem.turnedOver(fit);
      const start = problem.withRings({ ...fit, ...turned }, mostRings);
      return { views: chosen, start, kernels: [0.03, 0.012], steps: 4, near: turned };
    }),
  );
  for (const from of unlike([...finals, ...turnedOver], isAlike))
    if (found.length < climbers && ![rough, ...found].some((other) => isAlike(from, other)))
      found.push(await climbed(climb, from, found));
  const fine = (await fitted(found.map((fit) => toFinish(chosen, fit)))).map((fit) => ({
    fit,
    evidence: evidenceOf(fit),
  }));
  const { fit: first, evidence } = fine.reduce((a, b) => (b.evidence > a.evidence ? b : a));
  const judged = fine.map(({ fit, evidence: its }) => ({ p: fit.p, score: its - evidence }));
  return { problem, first, evidence, judged, finals, rough };
}

/**
 * Log of a fit's evidence, up to what all fits share: its score and how much room there is about it (Laplace's approximation;
 * MacKay 2003, Information Theory, Inference, and Learning Algorithms, chapter 28, from memory). An angle to a side and a
 * thickness that just bring out the edges of a disc seen squarely score a little more, and nearly every other angle less.
 */
function evidenceOf({ score, information }: PoseFit): number {
  const spread = covarianceOf(information).subMatrix(0, common - 1, 0, common - 1);
  return score + Math.log(determinant(spread)) / 2;
}

/** Covariance of a fit's parameters. */
export function covarianceOf(information: Float64Array): Matrix {
  const n = Math.sqrt(information.length);
  return inverse(Matrix.from1DArray(n, n, information));
}

/** A fit to all views from one to a few. */
export const toFinish = (views: readonly DiscView[], near: PoseFit): FitJob => ({
  views,
  start: near.p,
  kernels: [2 * finestKernel, finestKernel],
  steps: 4,
  near,
});

/** The fits that score highest among those with the tilt to a side, each unlike the others; 0 takes any side. */
const best = (fits: readonly PoseFit[], side: number, most: number): PoseFit[] =>
  unlike(
    fits.filter((fit) => fit.p[1] * side >= 0),
    isSame,
  ).slice(0, most);

/** The fits, highest score first, without those that are one with a higher. */
function unlike(fits: readonly PoseFit[], isOne: typeof isSame): PoseFit[] {
  const kept: PoseFit[] = [];
  for (const fit of [...fits].sort((a, b) => b.score - a.score))
    if (!kept.some((other) => isOne(fit, other))) kept.push(fit);
  return kept;
}

/** Views spread evenly over the heights. */
export function spread(views: readonly DiscView[], most: number): DiscView[] {
  if (views.length <= most) return [...views];
  const byHeight = [...views].sort((a, b) => a.ring.yPx - b.ring.yPx);
  return Array.from({ length: most }, (_, k) => byHeight[Math.round((k * (views.length - 1)) / (most - 1))]);
}
