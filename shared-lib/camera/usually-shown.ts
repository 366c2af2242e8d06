import { median } from 'd3-array';

/** An eighth shows the disc with this share of what it usually shows there: edges that lie anywhere within the kernel's reach show 0.45 of it, those of something else 0.7 in its second best eighth (measured on rendered clips). */
const leastOfUsual = 0.7;
/** An eighth that usually shows less than this share of what the best one does tells nothing (set by judgement). */
const leastTelling = 0.3;
/** In so many eighths the disc must show: whoever passes before it leaves some of it, and they agree on its place. */
const leastEighths = 2;
/** In so many, and in half of those that tell, where nothing but its motion says where it is (set by judgement). */
const leastEighthsAnew = 3;

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
export const showsDisc = (shownIn: readonly number[], usual: readonly number[]): boolean =>
  asUsual(shownIn, usual).length >= leastEighths;

/** The same where the disc had been lost, and may be anywhere near. */
export const showsDiscAnew = (shownIn: readonly number[], usual: readonly number[]): boolean =>
  asUsual(shownIn, usual).length >= Math.max(leastEighthsAnew, telling(usual).length / 2);

/** The eighths that usually show enough of the disc to tell it. */
function telling(usual: readonly number[]): number[] {
  const most = Math.max(...usual);
  return [...usual.keys()].filter((k) => usual[k] > leastTelling * most);
}

/** Those of them that show as much as usual. */
const asUsual = (shownIn: readonly number[], usual: readonly number[]): number[] =>
  telling(usual).filter((k) => shownIn[k] >= leastOfUsual * usual[k]);
