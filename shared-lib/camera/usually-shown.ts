import { median } from 'd3-array';

/** An eighth shows the disc with this share of what it usually shows there: edges that lie anywhere within the kernel's reach show 0.45 of it, those of something else 0.7 in its second best eighth (measured on rendered clips). */
const leastOfUsual = 0.7;
/** In so many eighths the disc must show: whoever passes before it leaves some of it, and they agree on its place. */
const leastEighths = 2;

/** How much of the disc's outline and rings each eighth of it usually shows, by all pictures in which it was followed. */
export const usuallyShown = (pictures: readonly (readonly number[])[]): number[] =>
  (pictures[0] ?? []).map((_, k) => median(pictures, (shownIn) => shownIn[k])!);

/**
 * Whether a picture shows the disc where it was settled, as much as it usually is seen to in some part at least. Something
 * else that moves, taken for the disc, meets as many edges as the disc does when half of it is hidden, but in no part as
 * many, and as near to the curves, as where nothing hides it.
 *
 * @param shownIn what each eighth shows in this picture, @param usual and usually, in the same unit
 */
export function showsDisc(shownIn: readonly number[], usual: readonly number[]): boolean {
  return shownIn.filter((shown, k) => shown >= leastOfUsual * usual[k]).length >= leastEighths;
}
