import type { GreyImage } from './grey-image.ts';

const tents = new Map<number, Float64Array>();

/**
 * Weights of a tent `factor` pixels to either side of a reduced pixel's centre; for 2 it is the binomial
 * (1 3 3 1) / 8 that picture pyramids use, for 1 the pixel itself.
 */
function tent(factor: number): Float64Array {
  const known = tents.get(factor);
  if (known) return known;
  const weights = new Float64Array(factor === 1 ? 1 : 2 * factor);
  for (let k = 0; k < weights.length; k++)
    weights[k] = factor === 1 ? 1 : (factor - Math.abs(k - factor + 0.5)) / (factor * factor);
  tents.set(factor, weights);
  return weights;
}

let rows = new Float64Array(0);

/** First full-resolution pixel and number of pixels that `count` reduced pixels from `start` are made of. */
function span(start: number, count: number, factor: number): [first: number, count: number] {
  const taps = tent(factor).length;
  return [start * factor - (taps - factor) / 2, (count - 1) * factor + taps];
}

/** Whether every pixel that the window is made of lies inside the picture. */
export function windowIsInside(
  image: GreyImage,
  factor: number,
  left: number,
  top: number,
  width: number,
  height: number,
): boolean {
  const [x0, columns] = span(left, width, factor);
  const [y0, fullRows] = span(top, height, factor);
  return x0 >= 0 && y0 >= 0 && x0 + columns <= image.width && y0 + fullRows <= image.height;
}

/**
 * A window of the picture made smaller by `factor` (1 or an even number), without making the whole picture
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
  const weights = tent(factor);
  const taps = weights.length;
  const [x0] = span(left, width, factor);
  const [y0, fullRows] = span(top, height, factor);
  if (rows.length < fullRows * width) rows = new Float64Array(fullRows * width);
  const inside = windowIsInside(image, factor, left, top, width, height);
  if (factor === 2 && inside) return halveWindow(image, x0, y0, width, height, out);
  const lastX = image.width - 1;
  const lastY = image.height - 1;
  for (let r = 0, k = 0; r < fullRows; r++) {
    const line = Math.min(lastY, Math.max(0, y0 + r)) * image.width;
    for (let c = 0; c < width; c++, k++) {
      const at = x0 + c * factor;
      let sum = 0;
      if (inside) for (let t = 0; t < taps; t++) sum += weights[t] * image.data[line + at + t];
      else
        for (let t = 0; t < taps; t++)
          sum += weights[t] * image.data[line + Math.min(lastX, Math.max(0, at + t))];
      rows[k] = sum;
    }
  }
  for (let r = 0, k = 0; r < height; r++)
    for (let c = 0; c < width; c++, k++) {
      let sum = 0;
      for (let t = 0; t < taps; t++) sum += weights[t] * rows[(r * factor + t) * width + c];
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
