import { median, rollup } from 'd3-array';
import { sigmaPerMedian, weightedMedian } from '../motion/statistics.ts';
import { fusePositions, misfit } from '../trace/fuse-positions.ts';
import type { SettledCentre } from './settle-by-pose.ts';

/** What outline and face say of the near face's centre in one picture. */
export interface SettledPicture {
  /** Both from the place where the disc was followed, displayed pixels. */
  settled: SettledCentre;
  /** How high in the picture the disc is, and how far it moves from picture to picture, pixels. */
  yPx: number;
  movedPx: number;
}

/** Heights at which the two are held together lie so far apart, as a share of the radius: as views of the disc are kept (trace/disc-views.ts). */
const heightStep = 0.35;
/** With fewer heights nothing tells how far the face is to be trusted (set by judgement). */
const leastHeights = 3;
/** Of the pictures at one height the slowest share shows both the rim and the face sharply (set by judgement). */
const slowest = 1 / 3;
/** Both state too little where they are farther apart than this, squared sigmas (chi-square of two degrees of freedom: 1 in 90). */
const mostMisfit = 9;

/**
 * The centre by outline and face together. The face's place is known up to a shift, which is what the two differ by in the middle of
 * all heights; and how that difference changes with height, where the disc is slow and both are sharp, is how far the face can be
 * wrong: light that stays in place while a plain disc moves through it looks like a face that moves less.
 *
 * @param radiusPx of the disc
 * @returns one per picture; as it was where no face is seen or nothing tells how good it is
 */
export function joinFace(pictures: readonly SettledPicture[], radiusPx: number): SettledCentre[] {
  const alone = pictures.map(({ settled }) => settled);
  const byHeight = rollup(
    pictures.filter(({ settled }) => settled.face),
    differenceOfSlowest,
    ({ yPx }) => Math.round(yPx / (heightStep * radiusPx)),
  );
  const differences = [...byHeight.values()];
  if (differences.length < leastHeights) return alone;
  const { middle: shiftX, variance: varX } = spreadOf(differences.map(({ x }) => x));
  const { middle: shiftY, variance: varY } = spreadOf(differences.map(({ y }) => y));
  return alone.map((settled) => {
    if (!settled.face) return settled;
    const { xPx, yPx, varXPx2, varYPx2, covXYPx2 } = settled.face;
    const byFace = {
      xPx: xPx + shiftX,
      yPx: yPx + shiftY,
      varXPx2: varXPx2 + varX,
      varYPx2: varYPx2 + varY,
      covXYPx2,
    };
    const byOutline = { ...settled, xPx: settled.dxPx, yPx: settled.dyPx };
    const fused = fusePositions(byOutline, byFace);
    const more = Math.max(1, misfit(byOutline, byFace) / mostMisfit);
    return {
      ...settled,
      dxPx: fused.xPx,
      dyPx: fused.yPx,
      varXPx2: more * fused.varXPx2,
      varYPx2: more * fused.varYPx2,
      covXYPx2: more * fused.covXYPx2,
    };
  });
}

interface Difference {
  px: number;
  /** What the outline's part of it is uncertain by, squared pixels. */
  variance: number;
}

/** By how much the outline's centre lies off the face's in the slowest of some pictures. */
function differenceOfSlowest(pictures: readonly SettledPicture[]): { x: Difference; y: Difference } {
  const slow = [...pictures]
    .sort((a, b) => a.movedPx - b.movedPx)
    .slice(0, Math.ceil(slowest * pictures.length));
  const middle = (of: (picture: SettledCentre) => number): number => median(slow, (p) => of(p.settled))!;
  return {
    x: { px: middle((s) => s.dxPx - s.face!.xPx), variance: middle((s) => s.varXPx2) },
    y: { px: middle((s) => s.dyPx - s.face!.yPx), variance: middle((s) => s.varYPx2) },
  };
}

/**
 * Middle and variance over the heights, robustly; one that is only ever passed fast counts less, as the outline is drawn out there,
 * and such heights are a minority.
 */
function spreadOf(differences: readonly Difference[]): { middle: number; variance: number } {
  const weighted = (of: (px: number) => number): number =>
    weightedMedian(differences.map(({ px, variance }) => ({ value: of(px), weight: 1 / variance })));
  const middle = weighted((px) => px);
  return { middle, variance: (sigmaPerMedian * weighted((px) => Math.abs(px - middle))) ** 2 };
}
