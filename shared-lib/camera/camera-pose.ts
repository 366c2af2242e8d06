import { sum } from 'd3-array';
import { determinant, inverse, Matrix } from 'ml-matrix';
import type { CameraPose, LensBow } from '../contract/trace.ts';
import { usualDiscRadiusM } from '../norms/discs.ts';
import type { DiscView } from '../trace/disc-views.ts';
import { climbed, finestKernel, isAlike, isSame, mostRings } from './climb-pose.ts';
import { offsetOf, PoseProblem, type FitJob, type PoseFit, type PoseQuestion } from './disc-pose.ts';
import { fitAll, type FitElsewhere } from './fit-all.ts';
import { common } from './view-sums.ts';

const rad = Math.PI / 180;
const mostViews = 16;
export const fewestViews = 4;
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
/**
 * Edges are better explained by chance than by a fit with less evidence: of 149 rendered clips three had less than 0, all of them
 * with something else taken for the rim, and the others 35 and more.
 */
const leastEvidence = 0;
/** A rim that shows on fewer rays is no rim. */
const leastShown = 0.5;

export interface PoseOptions {
  /** The lens's distortion, which is taken out. */
  bow?: LensBow | undefined;
  /** By how much the rim may be larger or smaller than the rings, relative. */
  sizeDoubt?: number | undefined;
  /** Begins to have half of the fits made elsewhere; null where nobody is there. */
  fitting?: ((question: PoseQuestion) => FitElsewhere | null) | undefined;
}

/**
 * The camera's place from cut-outs of the disc along its path: the near face's rim is a circle of known size in the
 * bar plane, the disc's side lies behind it and rings on its face are concentric with it, and all are seen through a
 * pinhole. One ellipse leaves the side of the tilt open; how size and shape change along the path, and the edge
 * between face and side, decide it. The focal length shows only in an oblique view, and stays near what phones have
 * otherwise.
 *
 * @param views with their rings in pixels of one picture: the camera stood still, or its motion is taken out
 * @param picture displayed size
 * @returns null where too few views show a rim, or where no disc of whatever size and angle explains their edges
 */
export async function fitCameraPose(
  views: readonly DiscView[],
  picture: { widthPx: number; heightPx: number },
  { bow, sizeDoubt = 0, fitting }: PoseOptions = {},
): Promise<CameraPose | null> {
  const chosen = spread(views, mostViews);
  if (chosen.length < fewestViews) return null;
  const question = { picture, views: chosen, bow, sizeDoubt };
  const problem = new PoseProblem(question);
  const elsewhere = fitting?.(question) ?? null;
  const fitted = (jobs: readonly FitJob[]): Promise<PoseFit[]> => fitAll(problem, jobs, elsewhere);

  const few = spread(chosen, 5);
  const growths = sizeDoubt > 0 ? [-sizeDoubt, sizeDoubt] : [0];
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
  if (evidence < leastEvidence) return null;
  const judged = fine.map(({ fit, evidence: its }) => ({ p: fit.p, score: its - evidence }));
  const isOther = ({ p }: Scored): boolean => p[1] * first.p[1] <= 0 && p !== first.p;
  const climbedOthers = judged.filter(isOther).map(({ score }) => -score);
  const others = finals.filter(isOther).map(({ score }) => first.score - score);
  const sideMargin = Math.min(...(climbedOthers.length > 0 ? climbedOthers : others));
  const settled = sized(problem, chosen, first);
  // Fits that climbed to one place are few; those that they climbed from show how much the edges leave open.
  const doubt = (spread: typeof spreadOfYaw): number =>
    Math.max(spread(finals, rough), spread(judged, { p: first.p, score: 0 }));
  return poseOf(problem, settled, sideMargin, {
    yawRad: doubt(spreadOfYaw),
    offSquareRad: doubt(spreadOfOffSquare),
  });
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

function covarianceOf(information: Float64Array): Matrix {
  const n = Math.sqrt(information.length);
  return inverse(Matrix.from1DArray(n, n, information));
}

/** A fit to all views from one to a few. */
const toFinish = (views: readonly DiscView[], near: PoseFit): FitJob => ({
  views,
  start: near.p,
  kernels: [2 * finestKernel, finestKernel],
  steps: 4,
  near,
});

/**
 * Fits that score less by this are worse by a factor e: edges share flaws that the score does not know of, and a fit that
 * scored 17 or 24 less was the truer one at times (measured on rendered clips).
 */
const scorePerE = 10;
/** Fits nearer to each other than this are one. */
const sameYawRad = 1.5 * rad;

type Scored = Pick<PoseFit, 'p' | 'score'>;

/** How far the yaws lie about the first one's of all fits that explain the edges, each counted by how well it does: one sigma. */
export const spreadOfYaw = (fits: readonly Scored[], first: Scored): number =>
  spreadAbout(
    first.p[1],
    modesOf(fits, first, ({ p }) => p[1]),
  );

/**
 * The same of how far off square they lie, to whichever side: that the other side explains the edges nearly as well, as it
 * does where the disc is small, says nothing against the angle.
 */
export const spreadOfOffSquare = (fits: readonly Scored[], first: Scored): number =>
  spreadAbout(
    Math.abs(first.p[1]),
    modesOf(fits, first, ({ p }) => Math.abs(p[1])),
  );

interface Mode {
  angleRad: number;
  weight: number;
}

function modesOf(fits: readonly Scored[], first: Scored, of: (fit: Scored) => number): Mode[] {
  const modes: Mode[] = [{ angleRad: of(first), weight: 1 }];
  for (const fit of [...fits].sort((a, b) => b.score - a.score)) {
    const angleRad = of(fit);
    if (modes.some((mode) => Math.abs(mode.angleRad - angleRad) < sameYawRad)) continue;
    modes.push({ angleRad, weight: Math.exp((fit.score - first.score) / scorePerE) });
  }
  return modes;
}

function spreadAbout(firstRad: number, modes: readonly Mode[]): number {
  const squares = sum(modes, ({ angleRad, weight }) => weight * (angleRad - firstRad) ** 2);
  return Math.sqrt(squares / sum(modes, ({ weight }) => weight));
}

/**
 * How well the rim's size is known from its edges where the scenery behind it bears them out, from the scenery, and from either alone:
 * relative, one sigma. Measured on 176 sets of views of rendered clips, of which 20 had a lip or a bevel fitted as the rim.
 */
const edgesSigma = 0.003;
const scenerySigma = 0.004;
const edgesAloneSigma = 0.005;
const sceneryAloneSigma = 0.006;
/** Edges and scenery that are farther apart than so many sigmas of the scenery's are not of one rim. */
const significant = 2.5;
/** What is known is held this firmly while the rest is fitted again. */
const heldSigma = 0.0003;

interface Sized {
  fit: PoseFit;
  sizeSigma: number;
}

/**
 * The fit with the size that its edges and the scenery behind the disc tell together. Where they are not of one rim, what was fitted is a
 * lip or a bevel just inside the rim, which may show more plainly than the rim, and the scenery alone tells the size.
 */
function sized(problem: PoseProblem, views: readonly DiscView[], first: PoseFit): Sized {
  const scenery = problem.rimByScenery(first);
  if (!scenery) return { fit: first, sizeSigma: edgesAloneSigma };
  const sigma = Math.hypot(scenerySigma, scenery.sigma);
  const beyond = scenery.share - 1;
  if (Math.abs(beyond) > significant * sigma) {
    const fit = resized(problem, views, first, scenery.share, [1, 0]);
    return { fit, sizeSigma: Math.hypot(sceneryAloneSigma, scenery.sigma) };
  }
  const [edges, behind] = [edgesSigma ** -2, sigma ** -2];
  const weight = behind / (edges + behind);
  // What the two differ by is to be doubted, too.
  const apart = beyond * Math.sqrt(weight * (1 - weight));
  return {
    fit: resized(problem, views, first, 1 + weight * beyond, []),
    sizeSigma: Math.hypot((edges + behind) ** -0.5, apart),
  };
}

/**
 * The fit again with its rim so much larger; what was fitted may stay as a ring within it: it is concentric with the rim and parallel, so that
 * the angles that it tells are the rim's.
 */
function resized(
  problem: PoseProblem,
  views: readonly DiscView[],
  first: PoseFit,
  share: number,
  fitted: readonly number[],
): PoseFit {
  const [focal, yaw, pitch, size, thickness, ...rings] = first.p;
  const within = [...fitted, ...rings].map((v, a) => (a % 2 === 0 ? v / share : v));
  const p = [focal, yaw, pitch, size + Math.log(share), thickness, ...within];
  problem.hold(p, heldSigma);
  const { information } = first;
  return { ...problem.fit(toFinish(views, { ...first, p })), information };
}

function poseOf(
  problem: PoseProblem,
  { fit, sizeSigma }: ReturnType<typeof sized>,
  sideMargin: number,
  doubt: { yawRad: number; offSquareRad: number },
): CameraPose {
  const { p } = fit;
  const { normal, distanceM } = problem.plane(p);
  const covariance = covarianceOf(fit.information);
  const sigma = (a: number): number => Math.sqrt(covariance.get(a, a));
  const { xPx, yPx } = offsetOf(fit);
  return {
    ...problem.lens(p),
    normal,
    distanceRadii: distanceM / usualDiscRadiusM,
    thicknessRadii: p[4] / usualDiscRadiusM,
    rings: problem.ringsIn(fit.p).map(({ share, outM }) => ({ share, outRadii: outM / usualDiscRadiusM })),
    sigma: {
      logFocal: sigma(0),
      yawRad: Math.hypot(sigma(1), doubt.yawRad),
      offSquareRad: Math.hypot(sigma(1), doubt.offSquareRad),
      pitchRad: sigma(2),
      size: sizeSigma,
    },
    offset: { dxPx: xPx, dyPx: yPx },
    sideMargin,
  };
}

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
function spread(views: readonly DiscView[], most: number): DiscView[] {
  if (views.length <= most) return [...views];
  const byHeight = [...views].sort((a, b) => a.ring.yPx - b.ring.yPx);
  return Array.from({ length: most }, (_, k) => byHeight[Math.round((k * (views.length - 1)) / (most - 1))]);
}
