import { reducedForSearch } from '../picture/disc-candidates.ts';
import type { GreyImage } from '../picture/grey-image.ts';
import { seedsIn, type Seed } from './find-seeds.ts';

/** Seconds between two looks, and the most looks in a clip; what is compared lies half as far apart. */
const leastEveryS = 0.75;
const mostLooks = 24;

/**
 * Looks for discs among what has moved since a moment ago, now and then along a clip. A gym is full of discs, and only
 * the bar's travel: scenery, however plain, does not even vote.
 */
export class MotionSearch {
  readonly #everyS: number;
  #nextS: number;
  #before: GreyImage | null = null;

  constructor(durationS: number) {
    this.#everyS = Math.max(leastEveryS, durationS / mostLooks);
    this.#nextS = this.#everyS;
  }

  /** Call with every picture in time order; the seeds in this one, strongest first, null where it is not looked at. */
  look(image: GreyImage, ptsS: number): Seed[] | null {
    if (!this.#before) {
      if (ptsS >= this.#nextS - this.#everyS / 2) this.#before = reducedForSearch(image);
      return null;
    }
    if (ptsS < this.#nextS) return null;
    const seeds = seedsIn(image, ptsS, this.#before);
    this.#before = null;
    this.#nextS = ptsS + this.#everyS;
    return seeds;
  }
}
