import type { Rim } from '../contract/trace.ts';
import { findDiscCandidates, sameRim, strengthOf, usualSearch } from '../picture/disc-candidates.ts';
import { outermostRim, refineRim } from '../picture/rim-search.ts';
import type { GreyImage } from '../picture/grey-image.ts';

/** A disc found in one picture, to be followed from there. */
export interface Seed {
  ptsS: number;
  rim: Rim;
  strength: number;
}

/**
 * Seeds in one picture, strongest first.
 * @param before the scenery a moment ago: only what has moved since is looked for
 */
export const seedsIn = (image: GreyImage, ptsS: number, before?: GreyImage): Seed[] =>
  findDiscCandidates(image, before ? { ...usualSearch, before } : usualSearch).map((candidate) => ({
    ptsS,
    rim: candidate.rim,
    strength: strengthOf(candidate),
  }));

/**
 * Collects seeds from a few pictures of a clip. A disc that several pictures show in the same place is one
 * seed, from the earliest; one that moved is a seed in each place, and whichever is followed best wins later.
 */
export class SeedCollector {
  private readonly seeds: Seed[] = [];

  /** @param seeds of one picture, as `seedsIn` gives them */
  add(seeds: readonly Seed[]): void {
    for (const seed of seeds) {
      if (!this.seeds.some((other) => sameRim(other.rim, seed.rim))) this.seeds.push(seed);
    }
  }

  strongest(most: number): Seed[] {
    return [...this.seeds].sort((a, b) => b.strength - a.strength).slice(0, most);
  }
}

/** A rim that the user points at needs this much support: less is chance. */
const leastSupport = 0.55;

/**
 * The disc whose centre the user pointed at: the best supported rim round that point, or the rim outside it
 * where that is only a ring on the face. Null where there is none.
 */
export function discAt(image: GreyImage, xPx: number, yPx: number): Rim | null {
  const longer = Math.max(image.width, image.height);
  const around = (rim: Rim): boolean => Math.hypot(rim.xPx - xPx, rim.yPx - yPx) < 0.35 * rim.aPx;
  const found = findDiscCandidates(image, { ...usualSearch, maxCandidates: 60 });
  for (let r = usualSearch.minRadius * longer; r <= usualSearch.maxRadius * longer; r *= 1.08) {
    const refined = refineRim(image, { xPx, yPx, aPx: r, bPx: r, thetaRad: 0 });
    if (refined) found.push(refined);
  }
  const near = found.filter((c) => around(c.rim) && c.support >= leastSupport);
  if (near.length === 0) return null;
  return outermostRim(
    image,
    near.reduce((a, b) => (strengthOf(b) > strengthOf(a) ? b : a)),
  ).rim;
}
