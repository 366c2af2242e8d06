import type { CameraMotion } from '../contract/trace.ts';
import type { GreyImage } from '../picture/grey-image.ts';
import { applySimilarity, type Point } from '../picture/similarity.ts';
import { between, type CameraEstimate } from './camera-estimate.ts';
import { sightingOf, type Mark, type Sighting, type Sights } from './camera-motion-anchor.ts';

/**
 * What shows that a camera has been followed by something that moves before it: marks of the first picture that are where they
 * were in it, or nearly, while the camera is said to be elsewhere. A lifter's image in a mirror can outnumber what a plain
 * wall shows, and most marks then agree on its motion; but it does not come back to its place with the rest of the room.
 */

/** So many marks of the first picture must be back in their place, and so many times as many as where the camera is said to be. Set by judgement. */
const fewestBack = 10;
const rivalsBack = 1.5;
/** A camera that stands is within this of its first picture, and is said to be elsewhere from as far again, as shares of the picture's length. Set by judgement. */
const nearShare = 0.004;
const apartShare = 0.006;

/** Whether a sighting of the first picture's marks near their places speaks against where the camera is said to be. */
export function isBackInPlace(
  back: Sighting,
  said: Sighting | null,
  { motion }: { motion: CameraMotion },
  { width, height }: Pick<GreyImage, 'width' | 'height'>,
): boolean {
  const length = Math.max(width, height);
  const middle = [width / 2, height / 2] as const;
  const there = applySimilarity(motion, ...middle);
  const here = applySimilarity(back.similarity, ...middle);
  const apart = ([x, y]: Point, [u, v]: Point): number => Math.hypot(x - u, y - v);
  return (
    back.agreeing >= fewestBack &&
    back.agreeing >= rivalsBack * (said?.agreeing ?? 0) &&
    apart(here, middle) < nearShare * length &&
    apart(there, here) > apartShare * length
  );
}

/** The marks of a sighting that agree. */
export const agreeingMarks = ({ sights, agrees }: Sighting): ReadonlySet<Mark> =>
  new Set(sights.marks.filter((_, i) => agrees[i]));

/** The sighting that marks of the background alone give, of those that a picture showed; null where too few of them did. */
export function byBackground(
  { marks, pairs }: Sights,
  background: ReadonlySet<Mark>,
  unit: number,
  size: Pick<GreyImage, 'width' | 'height'>,
  expected: CameraMotion,
  random: () => number,
): Sighting | null {
  const of = (column: Float64Array): Float64Array => column.filter((_, i) => background.has(marks[i]));
  const sights: Sights = {
    marks: marks.filter((mark) => background.has(mark)),
    pairs: {
      fromX: of(pairs.fromX),
      fromY: of(pairs.fromY),
      toX: of(pairs.toX),
      toY: of(pairs.toY),
      weight: of(pairs.weight),
    },
  };
  return sightingOf(sights, unit, size, expected, random, sights.marks.length);
}

/** The camera's motion in a frame. */
export interface Told {
  frame: number;
  estimate: CameraEstimate;
}

/** So many frames without the background are taken to lie on a straight way; set by judgement. */
const mostBetween = 90;

/** What is told of some frames, in order, and of those between where they are few. */
export const filledIn = (told: readonly Told[]): Told[] =>
  told.flatMap((here, i): Told[] => {
    const next = told.at(i + 1);
    const count = next ? next.frame - here.frame : 1;
    if (!next || count > mostBetween) return [here];
    return Array.from({ length: count }, (_, k) => ({
      frame: here.frame + k,
      estimate: between(here.estimate, next.estimate, k / count),
    }));
  });
