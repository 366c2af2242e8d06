import { blockPx, blockSums } from '../picture/block-sums.ts';
import type { GreyImage } from '../picture/grey-image.ts';

/** A stretch of a clip between two key frames, seconds of file time: from (included) to (excluded; Infinity at the end). */
export interface ScannedStretch {
  fromS: number;
  toS: number;
}

/**
 * Key frames farther apart than this say nothing of what lies between: a bar may leave its rest and be back at it. No rep
 * from rest to rest is as short (common practice: a fast bench press takes 1.2 s).
 */
const longestGapS = 1.05;
/**
 * What is followed before and after each change: together with the shortest that is left out no less than the 6 s that a rep's window may
 * hold of its set-up, so that nothing within it is left out between what moved before and the start.
 */
const leadS = 3;
const tailS = 3;
/** Key frames nearer together than this are passed over. */
const leastGapS = 0.4;
/** A stretch shorter than this is followed with what lies round it: a decoder's start costs as much. */
const shortestLeftOutS = 2;
/** Less than this share of a clip left out is not worth a second thought. */
const leastShare = 0.25;

/** So many blocks may differ by more than noise explains: a code's single block is no bar, whose rim touches many. */
const strayBlocks = 3;
/** Luma that a block differs by in a scene that stands, at least and as a multiple of one sigma over all blocks. */
const leastDifference = 3;
const differenceSigmas = 6;
/** Where noise alone explains a greater one, the pictures say nothing. */
const mostDifference = 6;

/**
 * Tells from a clip's key frames, which cost a few per cent of decoding it, in which stretches nothing in the picture
 * moves: the camera, the bar, whoever is near it. Whatever else changes, be it the light, counts as motion.
 */
export class KeyFrameScan {
  readonly #timesS: number[] = [];
  /** Whether each key frame shows the scene as the one before it did, and as the first of those that stood still. */
  readonly #isStill: boolean[] = [];
  #before: Uint16Array | null = null;
  #rested: Uint16Array | null = null;

  /**
   * Call with every key frame in time order; nothing of the picture is held.
   * @returns whether the scene stands as in the key frame before; also where the picture is passed over
   */
  look(image: GreyImage, ptsS: number): boolean {
    if (ptsS < (this.#timesS.at(-1) ?? -Infinity) + leastGapS) return true;
    const sums = blockSums(image);
    const still =
      this.#before !== null &&
      this.#rested !== null &&
      isSameScene(sums, this.#before) &&
      isSameScene(sums, this.#rested);
    if (!still) this.#rested = sums;
    this.#before = sums;
    this.#timesS.push(ptsS);
    this.#isStill.push(still);
    return still;
  }

  /** The stretches that need not be decoded, in time order; none where the scan is in doubt or it is not worth it. */
  leftOut(durationS: number): ScannedStretch[] {
    return leftOutOf(this.#timesS, this.#isStill, durationS);
  }
}

/**
 * @param timesS of the key frames
 * @param isStill whether each shows the same as the one before it
 */
export function leftOutOf(
  timesS: readonly number[],
  isStill: readonly boolean[],
  durationS: number,
): ScannedStretch[] {
  const endS = (timesS[0] ?? 0) + durationS;
  const after = (i: number): number => timesS.at(i + 1) ?? endS;
  // What follows the last key frame is bounded by none: it stands still where it is short and what comes before it does.
  const moves = timesS.map((t, i) => {
    const still = i + 1 < timesS.length ? isStill[i + 1] : isStill[i];
    return !still || after(i) - t > longestGapS;
  });
  if (!moves.includes(true)) return [];
  const near = timesS.map((t, i) =>
    moves.some((m, k) => m && t < after(k) + tailS && after(i) > timesS[k] - leadS),
  );
  const stretches: ScannedStretch[] = [];
  near.forEach((isNear, i) => {
    if (isNear) return;
    if (i > 0 && !near[i - 1]) stretches[stretches.length - 1].toS = after(i);
    else stretches.push({ fromS: timesS[i], toS: after(i) });
  });
  const kept = stretches.filter(({ fromS, toS }) => toS - fromS >= shortestLeftOutS);
  const sumS = kept.reduce((sum, { fromS, toS }) => sum + toS - fromS, 0);
  if (sumS < leastShare * durationS) return [];
  return kept.map((stretch) => (stretch.toS >= endS ? { ...stretch, toS: Infinity } : stretch));
}

/** Whether two pictures of one size differ by no more than noise, by means over blocks: grain is averaged away, an edge that moves is not. */
function isSameScene(one: Uint16Array, other: Uint16Array): boolean {
  if (one.length <= strayBlocks) return false;
  const counts = new Uint32Array(255 * blockPx ** 2 + 1);
  for (let i = 0; i < one.length; i++) counts[Math.abs(one[i] - other[i])]++;
  /** The mean by which the block differs that has so many below it. */
  const differenceAt = (place: number): number => {
    let difference = 0;
    for (let below = counts[0]; below <= place; below += counts[difference]) difference++;
    return difference / blockPx ** 2;
  };
  // One sigma of a normal distribution is 1.4826 times the median of what lies off the middle (MAD, from memory).
  const sigma = 1.4826 * differenceAt(one.length >> 1);
  const limit = Math.max(leastDifference, differenceSigmas * sigma);
  return limit <= mostDifference && differenceAt(one.length - 1 - strayBlocks) <= limit;
}
