import { median, sum } from 'd3-array';
import type { CameraPose, LensBow } from '../contract/trace.ts';
import { usualDiscRadiusM } from '../norms/discs.ts';
import type { DiscView } from '../trace/disc-views.ts';
import { offsetOf, type PoseFit, type PoseProblem, type PoseQuestion } from './disc-pose.ts';
import type { FitElsewhere } from './fit-all.ts';
import { covarianceOf, searchPose, spread, toFinish, type Scored, type Searched } from './search-pose.ts';

const rad = Math.PI / 180;
const mostViews = 16;
export const fewestViews = 4;
/**
 * Edges are better explained by chance than by a fit with less evidence: of 149 rendered clips three had less than 0, all of them
 * with something else taken for the rim, and the others 35 and more.
 */
const leastEvidence = 0;
/**
 * With less evidence a view the rim is looked for again among larger ones. Of 45 tuning scenes eight had less; in one of
 * them what was followed was 13 % too small, which had 1, and 9 where the rim is.
 */
const plainEvidence = 12;
/**
 * Logs of how much larger than what was followed the rim may be (set by judgement: printed rings have seven tenths of it and more). A
 * smaller one is a ring on the face, which may show more plainly than the rim: of 206 films of rendered pairs two had such a ring taken
 * for the rim when smaller ones were let in.
 */
const wideGrowths = [0.15, 0.3];
/** Nearer sizes were looked at before. */
const leastGrowth = 0.03;

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
  const searched = (asked: PoseQuestion, growths: readonly number[]): Promise<Searched | null> =>
    searchPose(asked, growths, fitting?.(asked) ?? null);
  let best = await searched(question, sizeDoubt > 0 ? [-sizeDoubt, sizeDoubt] : [0]);
  if (!best || best.evidence < plainEvidence * chosen.length) {
    // What was followed may be a ring on the face, or an edge that is partly the rim and partly another.
    const wide = await searched({ ...question, sizeDoubt: Math.max(...wideGrowths) }, wideGrowths);
    if (wide && isLarger(wide, best, chosen) && !(best && best.evidence + scorePerE >= wide.evidence))
      best = wide;
  }
  return best && best.evidence >= leastEvidence ? poseFrom(best) : null;
}

/** Whether the rim is larger than the one found before, or than what was followed where there is none. */
function isLarger(wide: Searched, before: Searched | null, views: readonly DiscView[]): boolean {
  const logSize = before ? before.first.p[3] : Math.log(median(views, ({ ring }) => ring.aPx)!);
  return wide.first.p[3] > logSize + leastGrowth;
}

function poseFrom({ problem, first, judged, finals, rough }: Searched): CameraPose {
  const isOther = ({ p }: Scored): boolean => p[1] * first.p[1] <= 0 && p !== first.p;
  const climbedOthers = judged.filter(isOther).map(({ score }) => -score);
  const others = finals.filter(isOther).map(({ score }) => first.score - score);
  const sideMargin = Math.min(...(climbedOthers.length > 0 ? climbedOthers : others));
  const settled = sized(problem, problem.views, first);
  // Fits that climbed to one place are few; those that they climbed from show how much the edges leave open.
  const doubt = (spread: typeof spreadOfYaw): number =>
    Math.max(spread(finals, rough), spread(judged, { p: first.p, score: 0 }));
  return poseOf(problem, settled, sideMargin, {
    yawRad: doubt(spreadOfYaw),
    offSquareRad: doubt(spreadOfOffSquare),
  });
}

/**
 * Fits that score less by this are worse by a factor e: edges share flaws that the score does not know of, and a fit that
 * scored 17 or 24 less was the truer one at times (measured on rendered clips).
 */
const scorePerE = 10;
/** Fits nearer to each other than this are one. */
const sameYawRad = 1.5 * rad;

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
