import { scaleLinear, type ScaleLinear } from 'd3-scale';

export interface Box {
  leftPx: number;
  topPx: number;
  widthPx: number;
  /** The most it may take; the scale decides. */
  heightPx: number;
}

export interface EqualAspect {
  x: ScaleLinear<number, number>;
  y: ScaleLinear<number, number>;
  pxPerM: number;
  /** Height in use: the range of y at this scale. */
  heightPx: number;
}

/** Never closer than this, so that a quiet path does not look like a wild one. */
const mostPxPerM = 1400;

/**
 * One scale for both directions: a centimetre across is a centimetre up. y fills its height unless x needs a
 * smaller scale; x is centred. `forward` is 1 when positive x runs to the right.
 */
export function equalAspect(
  xM: readonly [number, number],
  yM: readonly [number, number],
  box: Box,
  forward: 1 | -1,
): EqualAspect {
  const pxPerM = Math.min(
    mostPxPerM,
    box.heightPx / (yM[1] - yM[0]),
    box.widthPx / Math.max(xM[1] - xM[0], 1e-6),
  );
  const heightPx = (yM[1] - yM[0]) * pxPerM;
  const mid = (xM[0] + xM[1]) / 2;
  const halfM = box.widthPx / 2 / pxPerM;
  return {
    x: scaleLinear([mid - forward * halfM, mid + forward * halfM], [box.leftPx, box.leftPx + box.widthPx]),
    y: scaleLinear(yM, [box.topPx + heightPx, box.topPx]),
    pxPerM,
    heightPx,
  };
}
