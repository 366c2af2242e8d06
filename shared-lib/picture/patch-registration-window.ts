import type { GreyImage } from './grey-image.ts';

/** How a reduced pixel is made: taps from `pitch` to `pitch` pixels across it and half of each neighbour. */
interface Reduction {
  factor: number;
  pitch: number;
  weights: Float64Array;
}

const reductions = new Map<number, Reduction>();

/**
 * A tent `factor` pixels to either side of a reduced pixel's centre; for 2 it is the binomial (1 3 3 1) / 8 that
 * picture pyramids use, for 1 the pixel itself. Coarse ones leave pixels out: 64 of them tell the mean well enough.
 */
function reduction(factor: number): Reduction {
  const known = reductions.get(factor);
  if (known) return known;
  const pitch = Math.max(1, factor / 4);
  const weights = new Float64Array(factor === 1 ? 1 : (2 * factor) / pitch);
  for (let k = 0; k < weights.length; k++)
    weights[k] = factor === 1 ? 1 : factor - Math.abs(pitch * k + (pitch >> 1) - factor + 0.5);
  const sum = weights.reduce((total, w) => total + w, 0);
  const made = { factor, pitch, weights: weights.map((w) => w / sum) };
  reductions.set(factor, made);
  return made;
}

let rows = new Float64Array(0);
let columns = new Int32Array(0);

/** First full-resolution pixel that reduced pixels from `start` on reach over, and how many `count` of them do. */
const firstOf = (start: number, factor: number): number =>
  factor === 1 ? start : start * factor - factor / 2;
const spanOf = (count: number, factor: number): number => (factor === 1 ? count : (count + 1) * factor);

/** Whether every pixel that the window is made of lies inside the picture. */
export function windowIsInside(
  image: GreyImage,
  factor: number,
  left: number,
  top: number,
  width: number,
  height: number,
): boolean {
  const x0 = firstOf(left, factor);
  const y0 = firstOf(top, factor);
  return (
    x0 >= 0 &&
    y0 >= 0 &&
    x0 + spanOf(width, factor) <= image.width &&
    y0 + spanOf(height, factor) <= image.height
  );
}

/**
 * A window of the picture made smaller by `factor` (1, 2 or a multiple of 4), without making the whole picture
 * smaller. The window's upper left reduced pixel is (left, top); grey values go to `out` row by row. Beyond
 * the picture's border its outermost pixels go on.
 */
export function reduceWindow(
  image: GreyImage,
  factor: number,
  left: number,
  top: number,
  width: number,
  height: number,
  out: Float64Array,
): void {
  const x0 = firstOf(left, factor);
  const y0 = firstOf(top, factor);
  if (factor === 2 && windowIsInside(image, factor, left, top, width, height))
    return halveWindow(image, x0, y0, width, height, out);
  const { pitch, weights } = reduction(factor);
  const taps = weights.length;
  const step = factor / pitch;
  const tapRows = (height - 1) * step + taps;
  const tapColumns = (width - 1) * step + taps;
  if (rows.length < tapRows * width) rows = new Float64Array(tapRows * width);
  if (columns.length < tapColumns) columns = new Int32Array(tapColumns);
  const within = (at: number, count: number): number => Math.min(count - 1, Math.max(0, at + (pitch >> 1)));
  for (let t = 0; t < tapColumns; t++) columns[t] = within(x0 + pitch * t, image.width);
  for (let r = 0, k = 0; r < tapRows; r++) {
    const line = within(y0 + pitch * r, image.height) * image.width;
    for (let c = 0; c < width; c++, k++) {
      let sum = 0;
      for (let t = 0; t < taps; t++) sum += weights[t] * image.data[line + columns[c * step + t]];
      rows[k] = sum;
    }
  }
  for (let r = 0, k = 0; r < height; r++)
    for (let c = 0; c < width; c++, k++) {
      let sum = 0;
      for (let t = 0; t < taps; t++) sum += weights[t] * rows[(r * step + t) * width + c];
      out[k] = sum;
    }
}

/** The common case written out, since it runs for every patch of every frame. */
function halveWindow(
  image: GreyImage,
  x0: number,
  y0: number,
  width: number,
  height: number,
  out: Float64Array,
): void {
  const { data } = image;
  const fullRows = 2 * height + 2;
  if (rows.length < fullRows * width) rows = new Float64Array(fullRows * width);
  for (let r = 0, k = 0; r < fullRows; r++) {
    let at = (y0 + r) * image.width + x0;
    for (let c = 0; c < width; c++, k++, at += 2)
      rows[k] = data[at] + data[at + 3] + 3 * (data[at + 1] + data[at + 2]);
  }
  for (let r = 0, k = 0; r < height; r++) {
    let at = 2 * r * width;
    for (let c = 0; c < width; c++, k++, at++)
      out[k] = (rows[at] + rows[at + 3 * width] + 3 * (rows[at + width] + rows[at + 2 * width])) / 64;
  }
}
