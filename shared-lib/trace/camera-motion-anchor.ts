import type { CameraMotion } from '../contract/trace.ts';
import { pickCorners, touchesBox, type Box } from '../picture/corners.ts';
import type { ConformalPicture } from '../picture/conformal-picture.ts';
import type { GreyImage } from '../picture/grey-image.ts';
import { patchSize, registerPatch, takePatch, type Patch } from '../picture/patch-registration.ts';
import { takeSquare, unchangedShare, type ShownSquare } from '../picture/shown-square.ts';
import { findConsensus, type Consensus } from '../picture/similarity-consensus.ts';
import { invertSimilarity, linearOf, type Point, type PointPairs } from '../picture/similarity.ts';

/** A place in the background, followed from one picture to all that come after. */
export interface Mark {
  /** The same place at the working resolution and at coarser ones, finest first. */
  patches: (Patch | null)[];
  /** Where their middles are in the anchor's space, in the same order; anywhere without a patch. */
  places: readonly Point[];
  /** Times it went its own way while most others agreed; a mark that does so twice is dropped for good. */
  strayed: number;
  /** What the last picture showed round it; null before it was seen in one. */
  shown: ShownSquare | null;
  /** Share of that square that this picture shows exactly as it was. */
  unchanged: number;
}

/** A picture that later ones are registered against. */
export interface Anchor {
  marks: Mark[];
  /** Marks it began with. */
  size: number;
  /** Full-resolution pixels per pixel of the finest patches. */
  factor: number;
  /** Coordinates in which motions are similarities. */
  space: ConformalPicture;
}

/** Coarser levels, as multiples of the working factor. */
export const levels = [1, 2, 4, 8] as const;

/** So many marks, spread over the picture, are looked for at each level: coarse patches overlap. */
const mostMarks = [Infinity, 40, 40, 40] as const;

/** Correlation from which a patch is taken to show the same place; beneath it something is in front. */
const seenCorrelation = 0.75;

/** What parallax, lens and row read-out leave between true motion and a similarity, working pixels (common practice). */
const modelSigma = 0.03;
const slack = 0.4;
/**
 * How far behind its place a mark may be shown where the picture is the same as the one before to the last bit, px (set by
 * judgement, on rendered films of hand-held cameras): compression leaves blocks as they are while a slow camera moves on.
 */
const leftBehindPx = 0.3;
/**
 * The expected motion stands unless so many times as many marks agree on another (set by judgement, on the same films): a hand
 * jumps less often than a lifter who starts to move.
 */
const rivalShare = 1.2;
const strayLimit = 2;

/** Patches are taken from a picture about 960 pixels long, whatever the clip's size. */
export function workingFactor(image: GreyImage): number {
  const longer = Math.max(image.width, image.height);
  return longer > 2600 ? 4 : longer > 1100 ? 2 : 1;
}

export function takeAnchor(image: GreyImage, excluded: readonly Box[], space: ConformalPicture): Anchor {
  const factor = workingFactor(image);
  const wide = image.width >= image.height;
  const corners = pickCorners(image, excluded, {
    factor,
    columns: wide ? 8 : 5,
    rows: wide ? 5 : 8,
    perCell: 2,
    halfWidthPx: (factor * (patchSize + 5)) / 2,
  });
  const marks = corners
    .map(({ xPx, yPx }) => {
      const patches = levels.map((level) => takePatch(image, level * factor, xPx, yPx));
      const places = patches.map((patch) => space.to(patch?.xPx ?? xPx, patch?.yPx ?? yPx));
      return { patches, places, strayed: 0, shown: null, unchanged: 0 };
    })
    .filter((mark) => mark.patches[0] !== null);
  return { marks, size: marks.length, factor, space };
}

/** Notes how much of what was shown round each mark this picture shows exactly as it was. */
export function noteUnchanged(anchor: Anchor, image: GreyImage): void {
  for (const mark of anchor.marks) mark.unchanged = mark.shown ? unchangedShare(mark.shown, image) : 0;
}

/** Keeps what this picture shows round each mark. @param motion this picture's to the anchor's */
export function keepShown(anchor: Anchor, image: GreyImage, motion: CameraMotion): void {
  const back = invertSimilarity(motion);
  const { c, n } = linearOf(back);
  for (const mark of anchor.marks) {
    const there = mark.places[0];
    const alongX = c * there[0] - n * there[1] + back.txPx;
    const alongY = n * there[0] + c * there[1] + back.tyPx;
    const [x, y] = anchor.space.from(alongX, alongY);
    mark.shown = takeSquare(image, x, y, anchor.factor * patchSize, mark.shown);
  }
}

export interface Sighting extends Consensus {
  /** Marks that lie inside the picture and outside the boxes, and those of them that were found. */
  expectedMarks: number;
  foundMarks: number;
  /** Mean square of the weighted residuals: 1 where the stated uncertainties explain them. */
  chi2: number;
  /** What was found, whether it agrees or not. */
  sights: Sights;
}

/** Marks as one picture shows them: where they are in it, and where in the anchor's. */
export interface Sights {
  marks: readonly Mark[];
  pairs: PointPairs;
}

/** Work space: where marks are seen in one picture, and one sigma of that, pixels; never shared between workers. */
let seenX = new Float64Array(0);
let seenY = new Float64Array(0);
let seenSigma = new Float64Array(0);

/**
 * Registers the marks at one level where `expected` (this picture to the anchor's) puts them, and fits what most agree on.
 * Motions are similarities of the anchor's space.
 */
export function sightAnchor(
  anchor: Anchor,
  level: number,
  image: GreyImage,
  excluded: readonly Box[],
  expected: CameraMotion,
  random: () => number,
): Sighting | null {
  const forth = invertSimilarity(expected);
  const { c, n } = linearOf(forth);
  const { to, from } = anchor.space;
  const unit = anchor.factor * levels[level];
  const reach = (unit * patchSize) / 2;
  let expectedMarks = 0;
  const marks = anchor.marks.filter((mark) => mark.patches[level]);
  const found: Mark[] = [];
  if (seenX.length < marks.length)
    [seenX, seenY, seenSigma] = [0, 1, 2].map(() => new Float64Array(marks.length));
  const stride = Math.max(1, Math.ceil(marks.length / mostMarks[level]));
  for (let i = 0; i < marks.length; i += stride) {
    const mark = marks[i];
    const patch = mark.patches[level]!;
    const there = mark.places[level];
    const alongX = c * there[0] - n * there[1] + forth.txPx;
    const alongY = n * there[0] + c * there[1] + forth.tyPx;
    const [x, y] = from(alongX, alongY);
    if (x < reach || y < reach || x > image.width - reach || y > image.height - reach) continue;
    if (touchesBox(excluded, x, y, (anchor.factor * patchSize) / 2)) continue;
    expectedMarks++;
    const seen = registerPatch(patch, image, x, y, forth.rotationRad, forth.scale - 1);
    if (!seen || seen.correlation < seenCorrelation) continue;
    seenX[found.length] = seen.xPx;
    seenY[found.length] = seen.yPx;
    seenSigma[found.length] = seen.sigmaPx;
    found.push(mark);
  }
  const floor = modelSigma * unit;
  const pairs = pairsOf(found.length);
  for (let i = 0; i < found.length; i++) {
    const behindPx = leftBehindPx * found[i].unchanged;
    const here = to(seenX[i], seenY[i]);
    const there = found[i].places[level];
    pairs.fromX[i] = here[0];
    pairs.fromY[i] = here[1];
    pairs.toX[i] = there[0];
    pairs.toY[i] = there[1];
    pairs.weight[i] = 1 / (seenSigma[i] * seenSigma[i] + floor * floor + behindPx * behindPx);
  }
  const sights = { marks: found, pairs };
  const seen = sightingOf(sights, unit, image, expected, random, expectedMarks);
  if (seen && level === 0 && seen.agreeing >= expectedMarks / 2) noteStrays(anchor, found, seen);
  return seen;
}

/** What most of these marks agree on, of a picture of this size. @param unit full-resolution pixels per pixel of the patches */
export function sightingOf(
  sights: Sights,
  unit: number,
  { width, height }: Pick<GreyImage, 'width' | 'height'>,
  expected: CameraMotion,
  random: () => number,
  expectedMarks: number,
): Sighting | null {
  const { marks, pairs } = sights;
  const consensus = findConsensus(pairs, {
    expected,
    rivalShare,
    slackPx: slack * unit,
    minBaselinePx: Math.max(width, height) / 10,
    random,
  });
  const foundMarks = marks.length;
  return consensus && { ...consensus, expectedMarks, foundMarks, chi2: meanSquare(pairs, consensus), sights };
}

const pairsOf = (count: number): PointPairs => ({
  fromX: new Float64Array(count),
  fromY: new Float64Array(count),
  toX: new Float64Array(count),
  toY: new Float64Array(count),
  weight: new Float64Array(count),
});

/** What clearly moves by itself while most of the picture agrees is no background, now or later. */
function noteStrays(anchor: Anchor, found: readonly Mark[], consensus: Consensus): void {
  if (consensus.agreeing < 0.6 * found.length) return;
  found.forEach((mark, i) => {
    if (!consensus.agrees[i]) mark.strayed++;
  });
  anchor.marks = anchor.marks.filter((mark) => mark.strayed < strayLimit);
}

function meanSquare(pairs: PointPairs, { similarity, agrees, agreeing }: Consensus): number {
  const { fromX, fromY, toX, toY, weight } = pairs;
  const { txPx, tyPx } = similarity;
  const { c, n } = linearOf(similarity);
  let sum = 0;
  for (let i = 0; i < agrees.length; i++) {
    if (!agrees[i]) continue;
    const dx = c * fromX[i] - n * fromY[i] + txPx - toX[i];
    const dy = n * fromX[i] + c * fromY[i] + tyPx - toY[i];
    sum += weight[i] * (dx * dx + dy * dy);
  }
  return sum / Math.max(1, 2 * agreeing - 4);
}
