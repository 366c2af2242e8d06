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

export function discPicture(image: GreyImage, rim: Rim): DiscPicture {
  const factor = Math.max(1, Math.round(rim.aPx / reducedRadiusPx));
  const crop = cropDisc(image, rim.xPx, rim.yPx, rim.aPx * 1.1 + factor, factor);
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
 * cross-correlation), to about half a reduced pixel.
 */
export function matchDisc(
  image: GreyImage,
  picture: DiscPicture,
  xPx: number,
  yPx: number,
  searchPx: number,
): { xPx: number; yPx: number; correlation: number } {
  const { factor, u, v, shape } = picture;
  const crop = cropDisc(image, xPx, yPx, picture.radiusPx * 1.1 + searchPx + factor, factor);
  const { width: side, data } = crop.image;
  const reach = Math.ceil((picture.radiusPx * 1.0) / factor);
  const n = shape.length;
  const offsets = Int32Array.from(u, (du, i) => v[i] * side + du);
  let best = { xPx, yPx, correlation: -1 };
  for (let cy = reach; cy < side - reach; cy++) {
    for (let cx = reach; cx < side - reach; cx++) {
      const at = cy * side + cx;
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
      const r = variance > n ? product / Math.sqrt(variance) : 0;
      if (r > best.correlation) {
        best = {
          xPx: fromCrop(cx, crop.leftPx, factor),
          yPx: fromCrop(cy, crop.topPx, factor),
          correlation: r,
        };
      }
    }
  }
  return best;
}
