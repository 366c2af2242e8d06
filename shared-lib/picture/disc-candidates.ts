import type { Rim } from '../contract/trace.ts';
import { edgeVotes, type EdgeVotes } from './edge-votes.ts';
import { grainOf } from './grain.ts';
import { fromReduced, reduceBy, toReduced, type GreyImage } from './grey-image.ts';
import { beyondChance, outermostRim, refineRim, type DiscCandidate } from './rim-search.ts';

export interface DiscSearch {
  /** Radii looked for, as shares of the picture's longer side. */
  minRadius: number;
  maxRadius: number;
  maxCandidates: number;
  /** The scenery a moment ago, as `reducedForSearch` gives it: only edges that were not there then count. */
  before?: GreyImage;
}

/** Discs of clips worth measuring: 450 mm at least 3 % and at most 45 % of the picture's longer side across. */
export const usualSearch: DiscSearch = { minRadius: 0.018, maxRadius: 0.22, maxCandidates: 8 };

const searchSidePx = 480;
const mostCentres = 16;

/**
 * Rims in one picture, strongest first. Edge pixels of a reduced picture vote for centres along their
 * gradient (a Hough transform over centres, Duda & Hart 1972, with gradient directions, Kimme et al. 1975);
 * at the best centres the radii with the most agreeing edges are taken, then refined to sub-pixel precision
 * on the full picture, or one that is reduced less where it is grainy, and kept where a full ellipse can be fitted.
 */
export function findDiscCandidates(image: GreyImage, search: DiscSearch = usualSearch): DiscCandidate[] {
  const factor = searchFactor(image);
  const small = reduceBy(image, factor);
  const longer = Math.max(small.width, small.height);
  const minR = Math.max(5, search.minRadius * longer);
  const maxR = search.maxRadius * longer;
  const votes = edgeVotes(small, search.before, minR, maxR);
  const grain = grainFactor(image);
  const fine = reduceBy(image, grain);
  const found: DiscCandidate[] = [];
  for (const centre of votedCentres(votes, minR, mostCentres)) {
    for (const radius of votedRadii(votes, centre, minR)) {
      const refined = refineRim(fine, {
        xPx: toReduced(fromReduced(centre.x, factor), grain),
        yPx: toReduced(fromReduced(centre.y, factor), grain),
        aPx: (radius * factor) / grain,
        bPx: (radius * factor) / grain,
        thetaRad: 0,
      });
      if (!refined) continue;
      if (!found.some((other) => sameRim(other.rim, refined.rim))) found.push(refined);
    }
  }
  const strongest = found.sort((a, b) => strengthOf(b) - strengthOf(a)).slice(0, search.maxCandidates);
  return withOutermost(fine, strongest).map((candidate) => enlarged(candidate, grain));
}

/** A candidate of a reduced picture in the original. */
function enlarged(candidate: DiscCandidate, factor: number): DiscCandidate {
  if (factor === 1) return candidate;
  const { xPx, yPx, aPx, bPx, thetaRad } = candidate.rim;
  return {
    ...candidate,
    rim: {
      xPx: fromReduced(xPx, factor),
      yPx: fromReduced(yPx, factor),
      aPx: aPx * factor,
      bPx: bPx * factor,
      thetaRad,
    },
  };
}

/** Grain of so many grey levels, one sigma, is what an edge is told from in the picture at its full size (set by judgement). */
const usualGrain = 2;
/** Discs keep so many pixels that their rims can still be placed: a picture is not reduced below this, its longer side. */
const leastFinePx = 640;

/**
 * By how much a grainy picture is reduced before rims are looked for in it: grain makes edges everywhere, and the mean of a block is
 * less grainy by the block's side.
 */
function grainFactor(image: GreyImage): number {
  const most = Math.floor(Math.max(image.width, image.height) / leastFinePx);
  return Math.max(1, Math.min(most, Math.round(grainOf(image) / usualGrain)));
}

const searchFactor = (image: GreyImage): number =>
  Math.max(1, Math.round(Math.max(image.width, image.height) / searchSidePx));

/** A picture at the size in which edges vote for centres. */
export const reducedForSearch = (image: GreyImage): GreyImage => reduceBy(image, searchFactor(image));

/** The candidates and, before each, the rim outside it where there is one. */
function withOutermost(image: GreyImage, candidates: readonly DiscCandidate[]): DiscCandidate[] {
  const all: DiscCandidate[] = [];
  for (const candidate of candidates) {
    for (const one of [outermostRim(image, candidate), candidate]) {
      if (!all.some((other) => sameRim(other.rim, one.rim))) all.push(one);
    }
  }
  return all;
}

/** Orders candidates: agreement beyond chance first, size as a tie-break, since the ruler is the largest disc. */
export const strengthOf = (candidate: DiscCandidate): number =>
  beyondChance(candidate) *
  Math.sqrt(Math.min(1, candidate.contrast / 20)) *
  Math.pow(candidate.rim.aPx, 0.25);

export function sameRim(one: Rim, other: Rim): boolean {
  const size = Math.min(one.aPx, other.aPx);
  return (
    Math.hypot(one.xPx - other.xPx, one.yPx - other.yPx) < 0.15 * size &&
    Math.abs(one.aPx - other.aPx) < 0.06 * size
  );
}

/** The places that most edges vote for, apart from each other, best first. */
function votedCentres(
  { width, votes, peaks }: EdgeVotes,
  minR: number,
  count: number,
): { x: number; y: number }[] {
  const centres: { x: number; y: number }[] = [];
  const apart = Math.max(3, 0.35 * minR);
  for (const at of Array.from(peaks).sort((a, b) => votes[b] - votes[a])) {
    const x = at % width;
    const y = Math.floor(at / width);
    if (centres.some((c) => Math.hypot(c.x - x, c.y - y) < apart)) continue;
    centres.push({ x, y });
    if (centres.length >= count) break;
  }
  return centres;
}

/** The radii at which edges around a centre agree best, at most three, best first. */
function votedRadii({ binsRound }: EdgeVotes, centre: { x: number; y: number }, minR: number): number[] {
  const bins = binsRound(centre.x, centre.y);
  const scored: { r: number; score: number }[] = [];
  for (let r = Math.ceil(minR); r < bins.length - 2; r++) {
    const three = bins[r - 1] + bins[r] + bins[r + 1];
    scored.push({ r, score: three / (2 * Math.PI * r) });
  }
  scored.sort((a, b) => b.score - a.score);
  const radii: number[] = [];
  const isNew = (r: number): boolean =>
    radii.every((other) => Math.abs(other - r) >= Math.max(2, 0.07 * other));
  for (const { r, score } of scored) {
    if (score < 0.25 || radii.length >= 3) break;
    if (isNew(r)) radii.push(r);
  }
  // The rim may be fainter than rings on its face: the largest with some agreement too.
  const largest = scored
    .filter(({ score }) => score > 0.4)
    .reduce((a, b) => (b.r > a.r ? b : a), { r: 0, score: 0 });
  if (largest.r > 0 && isNew(largest.r)) radii.push(largest.r);
  return radii;
}
