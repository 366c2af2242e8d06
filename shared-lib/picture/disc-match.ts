import type { Rim } from '../contract/trace.ts';
import { cropDisc, fromCrop, toCrop } from './disc-crop.ts';
import type { GreyImage } from './grey-image.ts';

/** A small picture of the whole disc, for finding it again when the motion model has lost it. */
export interface DiscPicture {
  factor: number;
  radiusPx: number;
  u: Int16Array;
  v: Int16Array;
  /** Grey levels less their mean, scaled to unit length. */
  shape: Float32Array;
}

const reducedRadiusPx = 12;
/** So many pixels along a block's side tell its mean well enough. */
const tapsPerSide = 4;
const pitchOf = (factor: number): number => Math.max(1, Math.floor(factor / tapsPerSide));

export function discPicture(image: GreyImage, rim: Rim): DiscPicture {
  const factor = Math.max(1, Math.round(rim.aPx / reducedRadiusPx));
  const crop = cropDisc(image, rim.xPx, rim.yPx, rim.aPx * 1.1 + factor, factor, pitchOf(factor));
  const cx = Math.round(toCrop(rim.xPx, crop.leftPx, factor));
  const cy = Math.round(toCrop(rim.yPx, crop.topPx, factor));
  const reach = Math.floor(rim.aPx / factor);
  const u: number[] = [];
  const v: number[] = [];
  const grey: number[] = [];
  for (let dv = -reach; dv <= reach; dv++) {
    for (let du = -reach; du <= reach; du++) {
      if (Math.hypot(du / rim.aPx, dv / rim.bPx) * factor > 1) continue;
      u.push(du);
      v.push(dv);
      grey.push(crop.image.data[(cy + dv) * crop.image.width + cx + du] ?? 0);
    }
  }
  const mean = grey.reduce((a, b) => a + b, 0) / grey.length;
  const length = Math.sqrt(grey.reduce((a, g) => a + (g - mean) ** 2, 0)) || 1;
  return {
    factor,
    radiusPx: rim.aPx,
    u: Int16Array.from(u),
    v: Int16Array.from(v),
    shape: Float32Array.from(grey, (g) => (g - mean) / length),
  };
}

/**
 * The place within `searchPx` of (xPx, yPx) where the disc's picture correlates best (zero-mean normalised
 * cross-correlation), to about half a reduced pixel. Every other place is tried first, and then the ones between
 * round the best of them: the picture is smooth at this size.
 */
export function matchDisc(
  image: GreyImage,
  picture: DiscPicture,
  xPx: number,
  yPx: number,
  searchPx: number,
): { xPx: number; yPx: number; correlation: number } {
  const { factor, u, v } = picture;
  const half = picture.radiusPx * 1.1 + searchPx + factor;
  const crop = cropDisc(image, xPx, yPx, half, factor, pitchOf(factor));
  const side = crop.image.width;
  const reach = Math.ceil(picture.radiusPx / factor);
  const offsets = Int32Array.from(u, (du, i) => v[i] * side + du);
  const score = new Float64Array(side * side).fill(NaN);
  const scoreAt = (at: number): number => {
    if (Number.isNaN(score[at])) score[at] = correlationAt(crop.image.data, at, offsets, picture.shape);
    return score[at];
  };
  let best = { cx: NaN, cy: NaN, correlation: -1 };
  const tryAt = (cx: number, cy: number): void => {
    const correlation = scoreAt(cy * side + cx);
    if (correlation > best.correlation) best = { cx, cy, correlation };
  };
  for (let cy = reach; cy < side - reach; cy += 2)
    for (let cx = reach; cx < side - reach; cx += 2) tryAt(cx, cy);
  for (const at of topScores(score, mostRefined))
    for (let dy = -1; dy <= 1; dy++)
      for (let dx = -1; dx <= 1; dx++) {
        const [cx, cy] = [(at % side) + dx, Math.floor(at / side) + dy];
        if (cx >= reach && cy >= reach && cx < side - reach && cy < side - reach) tryAt(cx, cy);
      }
  if (!(best.correlation > -1)) return { xPx, yPx, correlation: -1 };
  return {
    xPx: fromCrop(best.cx, crop.leftPx, factor),
    yPx: fromCrop(best.cy, crop.topPx, factor),
    correlation: best.correlation,
  };
}

/** Places round which the ones between are tried. */
const mostRefined = 6;

function topScores(score: Float64Array, most: number): number[] {
  const top: number[] = [];
  for (let at = 0; at < score.length; at++) {
    const r = score[at];
    if (!(r > 0) || (top.length === most && r <= score[top[most - 1]])) continue;
    top.push(at);
    top.sort((a, b) => score[b] - score[a]);
    if (top.length > most) top.pop();
  }
  return top;
}

function correlationAt(data: Uint8Array, at: number, offsets: Int32Array, shape: Float32Array): number {
  const n = shape.length;
  let sum = 0;
  let sum2 = 0;
  let product = 0;
  for (let i = 0; i < n; i++) {
    const g = data[at + offsets[i]];
    sum += g;
    sum2 += g * g;
    product += g * shape[i];
  }
  const variance = sum2 - (sum * sum) / n;
  return variance > n ? product / Math.sqrt(variance) : 0;
}
