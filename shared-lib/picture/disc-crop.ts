import type { GreyImage } from './grey-image.ts';

/** A square piece round a disc, reduced so that the disc's radius is about `radiusPx`. */
export interface DiscCrop {
  image: GreyImage;
  factor: number;
  /** Full-picture position of the crop's pixel (0, 0) centre is (leftPx + (factor - 1) / 2, topPx + ...). */
  leftPx: number;
  topPx: number;
}

/**
 * Cuts a square of half side `halfPx` round (xPx, yPx) and reduces it by a whole factor, block means.
 * Parts outside the picture repeat its border.
 */
export function cropDisc(
  image: GreyImage,
  xPx: number,
  yPx: number,
  halfPx: number,
  factor: number,
): DiscCrop {
  const side = Math.max(4, Math.ceil((2 * halfPx) / factor));
  const leftPx = Math.round(xPx - (side * factor) / 2);
  const topPx = Math.round(yPx - (side * factor) / 2);
  const data = new Uint8Array(side * side);
  const area = factor * factor;
  const { width, height } = image;
  const inside =
    leftPx >= 0 && topPx >= 0 && leftPx + side * factor <= width && topPx + side * factor <= height;
  for (let y = 0; y < side; y++) {
    for (let x = 0; x < side; x++) {
      let sum = 0;
      for (let j = 0; j < factor; j++) {
        const row = topPx + y * factor + j;
        const start = leftPx + x * factor;
        if (inside) {
          let at = row * width + start;
          for (let i = 0; i < factor; i++) sum += image.data[at++];
        } else {
          const line = Math.min(height - 1, Math.max(0, row)) * width;
          for (let i = 0; i < factor; i++)
            sum += image.data[line + Math.min(width - 1, Math.max(0, start + i))];
        }
      }
      data[y * side + x] = (sum + area / 2) / area;
    }
  }
  return { image: { width: side, height: side, data }, factor, leftPx, topPx };
}

/** A full-picture position in the crop's own pixels, per axis: pass leftPx or topPx as `originPx`. */
export const toCrop = (positionPx: number, originPx: number, factor: number): number =>
  (positionPx - originPx - (factor - 1) / 2) / factor;

/** The reverse of toCrop. */
export const fromCrop = (positionPx: number, originPx: number, factor: number): number =>
  positionPx * factor + (factor - 1) / 2 + originPx;
