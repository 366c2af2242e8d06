import type { Rim } from '../contract/trace.ts';
import type { GreyImage } from './grey-image.ts';
import { findRimEdges, type RimEdges } from './rim-edges.ts';
import { expectedOffset, fitRimShift, type RimShift } from './rim-fit.ts';
import { bestCandidate } from './rim-vote.ts';
import { ellipseThroughEdges } from './rim-shape.ts';
import { voteForPlace, type PlaceVote } from './shape-vote.ts';

/** A rim that a picture may show, and how strongly it shows it. */
export interface DiscCandidate {
  rim: Rim;
  /** Share of the rim's rays that meet an edge right on the rim, 0 to 1. */
  support: number;
  /** The same share for the outline moved off by a small part of its size: what edges of other things come to by chance. */
  chance: number;
  /** Mean step across the rim, grey levels. */
  contrast: number;
}

/** The share of rays that agree beyond what chance brings: of rays that chance leaves open. */
export const beyondChance = ({ support, chance }: DiscCandidate): number =>
  Math.max(0, support - chance) / Math.max(0.1, 1 - chance);

/** Below this, edges agree by chance: measured on pictures of walls. */
export const leastSupport = 0.4;

/**
 * Shapes tried, axis ratio and lean of the major axis: square to 41 degrees off square in steps that the later
 * fits reach across. A disc well below or above the camera leans.
 */
const startShapes: readonly (readonly [ratio: number, leanRad: number])[] = [
  [1, 0],
  [0.93, 0],
  [0.93, 0.5],
  [0.93, -0.5],
  [0.86, 0],
  [0.8, 0],
  [0.75, 0],
];
/** Edges fainter than this are noise. */
const minStep = 3;
/** An ellipse must be this much better supported than a circle: half a rim and half of something else make one too. */
const ellipsePrice = 0.08;

/**
 * The rim nearest to a rough guess, with sub-pixel precision; null where the picture shows none there.
 * The guess may be off by a tenth of the radius in place and size, and be a circle where the rim is an
 * ellipse: a camera beside the lifter foreshortens the disc's width, so upright ellipses of several ratios
 * are tried.
 */
export function refineRim(image: GreyImage, guess: Rim): DiscCandidate | null {
  const starts = startShapes.map(([ratio, leanRad]) => {
    // The guess's radius may be the ellipse's longer or its shorter semi-axis: take the mean.
    const aPx = guess.aPx / Math.sqrt(ratio);
    return coarseVote(image, { ...guess, aPx, bPx: aPx * ratio, thetaRad: Math.PI / 2 + leanRad }, 0.13, 0.1);
  });
  const [square, ...oblique] = starts as [CoarseVote, ...CoarseVote[]];
  const fine = square.score < 0.3 ? null : voteForRim(image, square.rim, 0.03, 0.03);
  const circle = fine && settleRim(image, fine.rim, false);
  // An ellipse's shape is only nearly right: a fine vote would favour whatever part of it happens to fit.
  const ellipse = oblique
    .filter(({ score }) => score > Math.max(0.4, square.score))
    .map(({ rim }) => settleRim(image, rim, true))
    .reduce((a, b) => ((b?.support ?? 0) > (a?.support ?? 0) ? b : a), null);
  if (!circle || !ellipse) return circle ?? ellipse;
  return ellipse.support > circle.support + ellipsePrice ? ellipse : circle;
}

/**
 * The outermost of the concentric rims round a found one: a bevel, a lip or a painted ring inside the rim
 * often has the stronger edge, but only the rim has the known diameter.
 */
export function outermostRim(image: GreyImage, found: DiscCandidate): DiscCandidate {
  let best = found;
  for (let ring = 0; ring < 4; ring++) {
    const next = outerGrowths.map((growth) => concentric(image, best, growth)).find((rim) => rim !== null);
    if (!next) return best;
    best = next;
  }
  return best;
}

/** Where a rim outside a found ring is looked for; bumper discs carry rings at two thirds of their rim (common practice). */
const outerGrowths = [1.065, 1.125, 1.185, 1.245, 1.31, 1.38, 1.45, 1.52];

/** In a scenery full of edges a ring farther out must agree beyond chance, by this share of what the inner one does. */
const leastOfInner = 0.4;

/** A rim as bright as the wall behind it shows over half its length only, but on the very same centre. */
function concentric(image: GreyImage, inner: DiscCandidate, growth: number): DiscCandidate | null {
  const { rim } = inner;
  const start = voteForRim(image, { ...rim, aPx: rim.aPx * growth, bPx: rim.bPx * growth }, 0.02, 0.03);
  const outer = start && settleRim(image, start.rim, false);
  if (!outer || outer.rim.aPx < 1.025 * rim.aPx) return null;
  // Farther out the chance of an accidental agreement grows.
  const enough = growth < 1.2 ? 0.55 * inner.support : 0.6;
  if (outer.support < enough || beyondChance(outer) < leastOfInner * beyondChance(inner)) return null;
  return Math.hypot(outer.rim.xPx - rim.xPx, outer.rim.yPx - rim.yPx) < 0.03 * rim.aPx ? outer : null;
}

interface CoarseVote {
  rim: Rim;
  score: number;
}

/**
 * The shift and growth of a shape that most edges agree with, exhaustively: every edge above the noise counts
 * nearly alike.
 * @param shiftReach, growthReach how far to look, as shares of the radius
 */
function coarseVote(image: GreyImage, shape: Rim, shiftReach: number, growthReach: number): CoarseVote {
  const searchPx = (shiftReach + growthReach + 0.03) * shape.aPx;
  const edges = findRimEdges(image, shape, { rays: 32, searchPx, smearXPx: 0, smearYPx: 0, minStep });
  const won = voteForPlace(edges, { size: shape.aPx, shiftReach, growthReach, step: 0.03, kernel: 0.035 });
  return { rim: voted(shape, won), score: won.score };
}

/** The same, to a hundredth of the radius; null where too few edges agree. */
function voteForRim(
  image: GreyImage,
  shape: Rim,
  shiftReach: number,
  growthReach: number,
): CoarseVote | null {
  const size = shape.aPx;
  const searchPx = (shiftReach + growthReach + 0.03) * size;
  const edges = findRimEdges(image, shape, { rays: 64, searchPx, smearXPx: 0, smearYPx: 0, minStep });
  const kernel = Math.max(0.014, 1.2 / size);
  const won = voteForPlace(edges, { size, shiftReach, growthReach, step: 0.01, kernel });
  return won.score < 0.25 ? null : { rim: voted(shape, won), score: won.score };
}

const voted = (shape: Rim, won: PlaceVote): Rim => ({
  ...shape,
  xPx: shape.xPx + won.dx * shape.aPx,
  yPx: shape.yPx + won.dy * shape.aPx,
  aPx: shape.aPx * (1 + won.ds),
  bPx: shape.bPx * (1 + won.ds),
});

/** How far from the outline edges are looked for in the last fit, as a share of its size. */
const lastReach = 0.025;
const tightGate = (sizePx: number): number => Math.max(0.8, 0.01 * sizePx);

/** Sub-pixel fit from a voted start; `free` lets the ellipse take its own shape. */
function settleRim(image: GreyImage, start: Rim, free: boolean): DiscCandidate | null {
  let rim = start;
  let fit: { shift: RimShift; edges: RimEdges } | null = null;
  for (const reach of free ? [0.08, 0.06, 0.04, lastReach] : [0.035, lastReach]) {
    const searchPx = Math.max(3, reach * rim.aPx);
    const edges = findRimEdges(image, rim, { rays: 96, searchPx, smearXPx: 0, smearYPx: 0, minStep });
    const shift = fitRimShift(edges, {
      maxShiftPx: Math.max(2, 0.7 * searchPx),
      scaleSigma: reach / 2,
      shiftSigmaPx: searchPx,
      kernelPx: Math.max(1.5, 0.5 * searchPx),
    });
    if (!shift) return null;
    fit = { shift, edges };
    const fitted = free ? ellipseThroughEdges(edges, shift, rim, Math.max(2, 0.6 * searchPx)) : null;
    rim = fitted && plausible(fitted, start) ? fitted : shifted(rim, shift);
  }
  if (!fit) return null;
  const support = tightSupport(fit.edges, fit.shift, rim.aPx);
  if (support < leastSupport) return null;
  return { rim, support, chance: chanceSupport(image, rim), contrast: fit.shift.contrast };
}

/** Far enough off that the rim itself, which the moved outline crosses in two places, hardly counts; still the same scenery. */
const movedBy = 0.09;
const movedOutlines = 6;

/** Share of rays with an edge right on the outline when it is moved off to several sides. */
function chanceSupport(image: GreyImage, rim: Rim): number {
  let near = 0;
  let inside = 0;
  const gate = tightGate(rim.aPx);
  for (let m = 0; m < movedOutlines; m++) {
    const angle = (2 * Math.PI * m) / movedOutlines;
    const moved = {
      ...rim,
      xPx: rim.xPx + movedBy * rim.aPx * Math.cos(angle),
      yPx: rim.yPx + movedBy * rim.aPx * Math.sin(angle),
    };
    const searchPx = Math.max(3, lastReach * rim.aPx);
    const edges = findRimEdges(image, moved, { rays: 48, searchPx, smearXPx: 0, smearYPx: 0, minStep });
    for (let i = 0; i < edges.rays; i++) if (bestCandidate(edges, i, 0, gate) >= 0) near++;
    inside += edges.insideCount;
  }
  return near / Math.max(1, inside);
}

const shifted = (rim: Rim, shift: RimShift): Rim => ({
  ...rim,
  xPx: rim.xPx + shift.dxPx,
  yPx: rim.yPx + shift.dyPx,
  aPx: rim.aPx * (1 + shift.dScale),
  bPx: rim.bPx * (1 + shift.dScale),
});

/** Share of rays with an edge right on the fit, less where whole eighths of the rim have none. */
function tightSupport(edges: RimEdges, shift: RimShift, sizePx: number): number {
  const gate = tightGate(sizePx);
  let near = 0;
  for (let i = 0; i < edges.rays; i++) {
    const expected = expectedOffset(edges, i, shift);
    if (bestCandidate(edges, i, expected, gate) >= 0) near++;
  }
  if (shift.inlierShare === 0) return 0;
  return (near / edges.insideCount) * Math.min(1, shift.spread + 0.125);
}

/**
 * Whether a camera could see the disc so: phones stand nearly level, so a disc is foreshortened sideways, not
 * in height, beyond what a slight pitch or roll does. An ellipse far from the start is another outline.
 */
function plausible(rim: Rim, start: Rim): boolean {
  const fromUpright = Math.acos(Math.min(1, Math.abs(Math.sin(rim.thetaRad))));
  const ratio = rim.bPx / rim.aPx;
  return (
    ratio > 0.68 &&
    (ratio > 0.97 || fromUpright < (ratio > 0.88 ? 0.75 : 0.45)) &&
    Math.abs(rim.aPx - start.aPx) < 0.15 * start.aPx &&
    Math.hypot(rim.xPx - start.xPx, rim.yPx - start.yPx) < 0.12 * start.aPx
  );
}
