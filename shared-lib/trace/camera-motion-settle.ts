import { stillCamera, type CameraMotion } from '../contract/trace.ts';
import { applySimilarity } from '../picture/similarity.ts';
import { shiftSigmaPx } from './camera-motion-uncertainty.ts';
import type { CameraEstimate } from './camera-estimate.ts';

export interface SettledMotion {
  /** One per frame, maps it to the first, in the coordinates of the estimates; all `stillCamera` where the camera stood still. */
  motions: CameraMotion[];
  /** Standard uncertainty of each coordinate of the shift at the picture's centre, px; 0 where it stood still. */
  sigmaPx: number[];
  moved: boolean;
  /** Share of the frames in which enough background was seen to tell. */
  seenShare: number;
}

export interface PictureSize {
  widthPx: number;
  heightPx: number;
}

/** A camera that never strays further than this from its first picture stood still, px (common practice: below what a rim fit can tell). */
export const stillWithinPx = 0.25;

/** Quadratic smoothing over seven frames (Savitzky & Golay 1964). */
const weights = [-2 / 21, 3 / 21, 6 / 21, 7 / 21, 6 / 21, 3 / 21, -2 / 21];
const reach = 3;

/** Columns of the four numbers that are smoothed: shift of the picture's centre, turn and growth as px at its edge. */
type Columns = [x: number[], y: number[], turn: number[], growth: number[]];

/**
 * Decides over a whole clip whether the camera moved at all, so that a tripod adds no noise, and smooths lightly
 * where it moved no faster than the estimates' own noise can tell.
 */
export function settleCameraMotion(estimates: readonly CameraEstimate[], size: PictureSize): SettledMotion {
  const x0 = size.widthPx / 2;
  const y0 = size.heightPx / 2;
  const sigma = estimates.map((e) => shiftSigmaPx(e.uncertainty, x0, y0));
  const columns = columnsOf(estimates, x0, y0);
  const seenShare = estimates.filter((e) => e.inlierShare > 0).length / Math.max(1, estimates.length);
  if (!strays(columns, sigma, estimates))
    return {
      motions: estimates.map(() => stillCamera),
      sigmaPx: estimates.map(() => 0),
      moved: false,
      seenShare,
    };
  const [x, y, turn, growth] = columns.map((c) => smoothWhereSlow(c, sigma));
  const motions = estimates.map((_, i): CameraMotion => {
    const linear = { scale: Math.exp(growth[i] / x0), rotationRad: turn[i] / x0, txPx: 0, tyPx: 0 };
    const [cx, cy] = applySimilarity(linear, x0, y0);
    return { ...linear, txPx: x0 + x[i] - cx, tyPx: y0 + y[i] - cy };
  });
  return { motions, sigmaPx: sigma, moved: true, seenShare };
}

function columnsOf(estimates: readonly CameraEstimate[], x0: number, y0: number): Columns {
  const rows = estimates.map((estimate) => rowOf(estimate, x0, y0));
  const column = (k: number): number[] => rows.map((row) => row[k]);
  return [column(0), column(1), column(2), column(3)];
}

const rowOf = ({ motion }: CameraEstimate, x0: number, y0: number): number[] => {
  const [x, y] = applySimilarity(motion, x0, y0);
  return [x - x0, y - y0, motion.rotationRad * x0, Math.log(motion.scale) * x0];
};

/** How far one picture lies from the first, px: the greatest of what is asked of each. */
export const strayPx = (estimate: CameraEstimate, { widthPx, heightPx }: PictureSize): number =>
  Math.max(...rowOf(estimate, widthPx / 2, heightPx / 2).map(Math.abs));

/**
 * Whether the camera strays beyond what standing still explains: the median of five neighbouring frames, so that
 * one misjudged frame is no motion. Frames in which nothing was seen do not count.
 */
function strays(columns: Columns, sigma: readonly number[], estimates: readonly CameraEstimate[]): boolean {
  const seen = estimates.flatMap((e, i) => (e.inlierShare > 0 ? [i] : []));
  return columns.some((column) =>
    seen.some((_, k) => {
      const near = seen.slice(Math.max(0, k - 2), k + 3);
      const middle = median(near.map((i) => column[i]));
      const noise = median(near.map((i) => sigma[i]));
      return Math.abs(middle) > Math.max(stillWithinPx, 3 * noise);
    }),
  );
}

function median(values: number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[sorted.length >> 1];
}

/**
 * Draws each value toward the quadratic through its neighbours by as much as their scatter is noise: fully
 * where the neighbourhood scatters no more than the stated noise, hardly where it scatters more.
 */
function smoothWhereSlow(values: readonly number[], sigma: readonly number[]): number[] {
  const smooth = values.map((v, i) => (canSmooth(i, values.length) ? dotAround(values, i) : v));
  return values.map((v, i) => {
    if (!canSmooth(i, values.length)) return v;
    let scatter = 0;
    let noise = 0;
    for (let k = i - reach; k <= i + reach; k++) {
      scatter += (values[k] - smooth[k]) ** 2;
      noise += sigma[k] ** 2;
    }
    // Residuals of white noise keep 1 - 7/21 of its variance.
    const excess = Math.max(0, scatter * 1.5 - noise);
    const share = noise > 0 ? noise / (noise + excess) : 0;
    return v + share * (smooth[i] - v);
  });
}

function canSmooth(i: number, n: number): boolean {
  return i >= reach && i + reach < n;
}

function dotAround(values: readonly number[], i: number): number {
  return weights.reduce((s, w, k) => s + w * values[i - reach + k], 0);
}
