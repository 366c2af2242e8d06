import { fromReduced, reduceBy, toReduced, type GreyImage } from './grey-image.ts';

/** A rectangle in displayed pixels, both corners inside it. */
export interface Box {
  x0Px: number;
  y0Px: number;
  x1Px: number;
  y1Px: number;
}

export interface Corner {
  xPx: number;
  yPx: number;
}

const inside = (b: Box, x: number, y: number, marginPx: number): boolean =>
  x > b.x0Px - marginPx && x < b.x1Px + marginPx && y > b.y0Px - marginPx && y < b.y1Px + marginPx;

/** Whether a square of the given half-width round (xPx, yPx) touches one of the boxes. */
export function touchesBox(boxes: readonly Box[], xPx: number, yPx: number, halfWidthPx: number): boolean {
  return boxes.some((b) => inside(b, xPx, yPx, halfWidthPx));
}

/**
 * The smaller eigenvalue of the mean gradient tensor in a `window` x `window` square round every pixel, (grey
 * levels / px)², row-major; 0 within reach of the border (Shi & Tomasi, CVPR 1994). Gradients are Sobel's over 8.
 */
export function smallerEigenvalues(image: GreyImage, window: number): Float32Array {
  const { width, height, data } = image;
  const xx = new Float32Array(width * height);
  const xy = new Float32Array(width * height);
  const yy = new Float32Array(width * height);
  for (let y = 1; y < height - 1; y++)
    for (let x = 1, at = y * width + 1; x < width - 1; x++, at++) {
      const a = data[at - width - 1];
      const b = data[at - width + 1];
      const c = data[at + width - 1];
      const d = data[at + width + 1];
      const gx = (b + d - a - c + 2 * (data[at + 1] - data[at - 1])) / 8;
      const gy = (c + d - a - b + 2 * (data[at + width] - data[at - width])) / 8;
      xx[at] = gx * gx;
      xy[at] = gx * gy;
      yy[at] = gy * gy;
    }
  for (const plane of [xx, xy, yy]) boxMean(plane, width, height, window);
  const out = xx;
  const reach = (window >> 1) + 1;
  for (let y = 0, at = 0; y < height; y++)
    for (let x = 0; x < width; x++, at++) {
      const border = x < reach || y < reach || x >= width - reach || y >= height - reach;
      const mean = (xx[at] + yy[at]) / 2;
      const split = Math.sqrt(((xx[at] - yy[at]) / 2) ** 2 + xy[at] * xy[at]);
      out[at] = border ? 0 : Math.max(0, mean - split);
    }
  return out;
}

/** Replaces the plane by its running mean over `window` pixels, along rows and then along columns. */
function boxMean(plane: Float32Array, width: number, height: number, window: number): void {
  const half = window >> 1;
  const line = new Float64Array(Math.max(width, height));
  const along = (start: number, step: number, count: number): void => {
    for (let i = 0; i < count; i++) line[i] = plane[start + i * step];
    let sum = 0;
    for (let i = 0; i < Math.min(window, count); i++) sum += line[i];
    for (let i = half; i + half < count; i++) {
      plane[start + i * step] = sum / window;
      if (i + half + 1 < count) sum += line[i + half + 1] - line[i - half];
    }
  };
  for (let y = 0; y < height; y++) along(y * width, 1, width);
  for (let x = 0; x < width; x++) along(x, width, height);
}

export interface CornerSearch {
  /** Corners are looked for in the picture reduced by this whole factor. */
  factor: number;
  /** Cells across and down; each gives its best corners, so that they cover the picture. */
  columns: number;
  rows: number;
  perCell: number;
  /** A square of this half-width round a corner must lie inside the picture and outside the boxes, px. */
  halfWidthPx: number;
}

/** Texture below this tells noise as much as structure, (grey levels / px)². */
const leastEigenvalue = 0.5;
const windowPx = 9;

/** Corners spread over a grid, strongest of each cell first, outside the boxes. */
export function pickCorners(image: GreyImage, boxes: readonly Box[], search: CornerSearch): Corner[] {
  const { factor, columns, rows, perCell, halfWidthPx } = search;
  const small = reduceBy(image, factor);
  const strength = smallerEigenvalues(small, windowPx);
  for (const b of boxes) clear(strength, small, b, halfWidthPx, factor);
  const margin = Math.ceil(halfWidthPx / factor) + 1;
  const apart = Math.ceil(halfWidthPx / factor);
  const corners: Corner[] = [];
  for (let row = 0; row < rows; row++)
    for (let column = 0; column < columns; column++) {
      const cell: Box = {
        x0Px: Math.max(margin, Math.floor((column * small.width) / columns)),
        x1Px: Math.min(small.width - 1 - margin, Math.floor(((column + 1) * small.width) / columns) - 1),
        y0Px: Math.max(margin, Math.floor((row * small.height) / rows)),
        y1Px: Math.min(small.height - 1 - margin, Math.floor(((row + 1) * small.height) / rows) - 1),
      };
      for (let k = 0; k < perCell; k++) {
        const best = strongest(strength, small.width, cell);
        if (!best) break;
        corners.push({ xPx: fromReduced(best.xPx, factor), yPx: fromReduced(best.yPx, factor) });
        // No second corner so near that the two patches would tell the same thing.
        const taken = { x0Px: best.xPx, x1Px: best.xPx, y0Px: best.yPx, y1Px: best.yPx };
        clear(strength, small, taken, apart, 1);
      }
    }
  return corners;
}

function strongest(strength: Float32Array, width: number, cell: Box): Corner | null {
  let most = leastEigenvalue;
  let best: Corner | null = null;
  for (let y = cell.y0Px; y <= cell.y1Px; y++)
    for (let x = cell.x0Px; x <= cell.x1Px; x++)
      if (strength[y * width + x] > most) {
        most = strength[y * width + x];
        best = { xPx: x, yPx: y };
      }
  return best;
}

/** Sets the strength to 0 inside the box, given in pixels of the picture before it was reduced, and a margin round it. */
function clear(strength: Float32Array, small: GreyImage, box: Box, marginPx: number, factor: number): void {
  const x0 = Math.max(0, Math.floor(toReduced(box.x0Px - marginPx, factor)));
  const x1 = Math.min(small.width - 1, Math.ceil(toReduced(box.x1Px + marginPx, factor)));
  const y0 = Math.max(0, Math.floor(toReduced(box.y0Px - marginPx, factor)));
  const y1 = Math.min(small.height - 1, Math.ceil(toReduced(box.y1Px + marginPx, factor)));
  for (let y = y0; y <= y1; y++)
    if (x1 >= x0) strength.fill(0, y * small.width + x0, y * small.width + x1 + 1);
}
