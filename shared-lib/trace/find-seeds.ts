import type { Rim } from '../contract/trace.ts';
import {
  findDiscCandidates,
  sameRim,
  strengthOf,
  usualSearch,
} from '../picture/disc-candidates.ts';
import { refineRim, type DiscCandidate } from '../picture/rim-search.ts';
import type { GreyImage } from '../picture/grey-image.ts';

/** A disc found in one picture, to be followed from there. */
export interface Seed {
  ptsS: number;
  rim: Rim;
  strength: number;
}

/** Seeds in one picture, strongest first. */
export const seedsIn = (image: GreyImage, ptsS: number): Seed[] =>
  findDiscCandidates(image).map((candidate) => ({ ptsS, rim: candidate.rim, strength: strengthOf(candidate) }));

/**
 * Collects seeds from a few pictures of a clip. A disc that several pictures show in the same place is one
 * seed, from the earliest; one that moved is a seed in each place, and whichever is followed best wins later.
 */
export class SeedCollector {
  private readonly seeds: Seed[] = [];

  look(image: GreyImage, ptsS: number): void {
    for (const seed of seedsIn(image, ptsS)) {
      if (!this.seeds.some((other) => sameRim(other.rim, seed.rim))) this.seeds.push(seed);
    }
  }

  strongest(most: number): Seed[] {
    return [...this.seeds].sort((a, b) => b.strength - a.strength).slice(0, most);
  }
}

/**
 * The disc whose centre the user pointed at: of the rims round that point the largest that is nearly as well
 * supported as the best, since rings on the face share the disc's centre. Null where there is none.
 */
export function discAt(image: GreyImage, xPx: number, yPx: number): Rim | null {
  const longer = Math.max(image.width, image.height);
  const around = (rim: Rim): boolean => Math.hypot(rim.xPx - xPx, rim.yPx - yPx) < 0.35 * rim.aPx;
  const found: DiscCandidate[] = findDiscCandidates(image, { ...usualSearch, maxCandidates: 60 }).filter((c) =>
    around(c.rim),
  );
  for (let r = usualSearch.minRadius * longer; r <= usualSearch.maxRadius * longer; r *= 1.08) {
    const refined = refineRim(image, { xPx, yPx, aPx: r, bPx: r, thetaRad: 0 });
    if (refined && around(refined.rim)) found.push(refined);
  }
  if (found.length === 0) return null;
  const best = Math.max(...found.map(strengthOf));
  return found.filter((c) => strengthOf(c) >= 0.75 * best).reduce((a, b) => (b.rim.aPx > a.rim.aPx ? b : a)).rim;
}
