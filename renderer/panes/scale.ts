import type { FollowedSide } from '../../shared-lib/contract/line-up.ts';
import type { View } from './view.ts';

/** Where a clip's pixels lie in its pane: pane = clip * factor + offset, mirrored first where asked. */
export interface PaneScale {
  factor: number;
  leftPx: number;
  topPx: number;
  mirrored: boolean;
  widthPx: number;
}

/** One vertical scale through both panes and the chart between them. */
export interface SharedScale {
  pxPerM: number;
  /** Height of the rep's origin in the pane, from its top. */
  zeroPx: number;
  /** How far everything is moved to the left. */
  movedPx: number;
}

/** The bar's range takes this share of the panes' height where the pictures allow. */
const barShare = 0.6;
/** Never so close that less than this share of a picture's shorter side is seen. */
const closest = 2.5;

/** Chosen so that both bars' ranges fit, the pictures fill their panes as far as they can, and heights agree. */
export function sharedScale(
  sides: readonly FollowedSide[],
  paneWidthPx: number,
  paneHeightPx: number,
  view: View,
): SharedScale {
  const heights = sides.flatMap(({ reps }) => reps[0].path.yM.filter((y) => y !== null));
  const [low, high] = [Math.min(...heights), Math.max(...heights)];
  const range = Math.max(high - low, 0.1);
  const whole = Math.min(
    ...sides.map(({ clip }) => {
      const { widthPx, heightPx } = clip.media;
      return Math.min(paneWidthPx / widthPx, paneHeightPx / heightPx) / clip.calibration.metresPerPx;
    }),
  );
  const wanted = (barShare * paneHeightPx) / range;
  const pxPerM = Math.min(Math.max(wanted, whole), closest * whole) * view.zoom;
  return {
    pxPerM,
    zeroPx: paneHeightPx / 2 + pxPerM * ((low + high) / 2 + view.upM),
    movedPx: pxPerM * view.rightM,
  };
}

export function paneScale(
  side: FollowedSide,
  shared: SharedScale,
  paneWidthPx: number,
  mirrored: boolean,
): PaneScale {
  const { media, calibration } = side.clip;
  const factor = shared.pxPerM * calibration.metresPerPx;
  const { xPx, yPx } = side.reps[0].originPx;
  const x = mirrored ? media.widthPx - 1 - xPx : xPx;
  // The bar in the middle, unless that would show what is not in the picture.
  const width = media.widthPx * factor;
  const wanted = paneWidthPx / 2 - (x + 0.5) * factor - shared.movedPx;
  const leftPx =
    width <= paneWidthPx ? (paneWidthPx - width) / 2 : Math.min(0, Math.max(paneWidthPx - width, wanted));
  return {
    factor,
    leftPx,
    topPx: shared.zeroPx - (yPx + 0.5) * factor,
    mirrored,
    widthPx: media.widthPx,
  };
}

/** Clip pixel (centres at whole numbers) to pane pixel. */
export function toPane(
  { factor, leftPx, topPx, mirrored, widthPx }: PaneScale,
  x: number,
  y: number,
): [number, number] {
  const across = mirrored ? widthPx - 1 - x : x;
  return [leftPx + (across + 0.5) * factor, topPx + (y + 0.5) * factor];
}
