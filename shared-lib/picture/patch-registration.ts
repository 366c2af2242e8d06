import { fromReduced, toReduced, type GreyImage } from './grey-image.ts';
import { kernelFactors, patchKernel, type PatchKernel } from './patch-kernel.ts';
import { reduceWindow, windowIsInside } from './patch-registration-window.ts';

/** Patches are this many reduced pixels wide and high. */
export const patchSize = 15;
const half = (patchSize - 1) / 2;
const area = patchSize * patchSize;
/** How far a patch is followed away from where it was expected, reduced pixels. */
export const searchRange = 4;
const windowSize = patchSize + 3 + 2 * searchRange;

/** A piece of a picture, ready to be found again in other pictures. Positions are in full-resolution pixels. */
export interface Patch {
  factor: number;
  xPx: number;
  yPx: number;
  /** Zero-mean grey values over their norm, and that norm. */
  unit: Float64Array;
  norm: number;
  /** Gradients freed of what a change of gain and bias would explain (projected off `unit` and the constant). */
  gx: Float64Array;
  gy: Float64Array;
  /** Inverse of the 2x2 normal matrix of gx, gy. */
  inv: readonly [xx: number, xy: number, yy: number];
  /** Shift, in reduced pixels, that is found too much per radian of turn and per unit of relative growth. */
  perTurn: readonly [x: number, y: number];
  perGrowth: readonly [x: number, y: number];
}

export interface Registration {
  /** Where the patch's centre is now, full-resolution pixels. */
  xPx: number;
  yPx: number;
  /** Standard uncertainty of each coordinate from the residual grey noise, full-resolution pixels. */
  sigmaPx: number;
  /** Normalised cross-correlation of the patch with the place found, -1 to 1. */
  correlation: number;
}

/** A step shorter than this, reduced pixels, leaves an error far below the noise of any picture. */
const settledStep = 0.01;

/** Scratch memory for one registration after the other; never shared between workers. */
const windowScratch = new Float64Array(windowSize * windowSize);
const patchScratch = new Float64Array(area);

let kernel: PatchKernel | null = null;

/** From now on compiled code finds patches, where it can; with null the plain code does. @param exports of kernels/patch.ts */
export function usePatchKernel(exports: unknown): void {
  kernel = exports === null ? null : patchKernel(exports, windowSize, area);
}

/**
 * Takes the patch whose centre is the reduced pixel nearest to (xPx, yPx); null when it leaves the picture or
 * has no texture in some direction.
 */
export function takePatch(image: GreyImage, factor: number, xPx: number, yPx: number): Patch | null {
  const cx = Math.round(toReduced(xPx, factor));
  const cy = Math.round(toReduced(yPx, factor));
  const size = patchSize + 2;
  const left = cx - half - 1;
  const top = cy - half - 1;
  if (!windowIsInside(image, factor, left, top, size, size)) return null;
  reduceWindow(image, factor, left, top, size, size, windowScratch);
  const unit = new Float64Array(area);
  const gx = new Float64Array(area);
  const gy = new Float64Array(area);
  for (let r = 0, k = 0; r < patchSize; r++)
    for (let c = 0; c < patchSize; c++, k++) {
      const at = (r + 1) * size + c + 1;
      unit[k] = windowScratch[at];
      gx[k] = (windowScratch[at + 1] - windowScratch[at - 1]) / 2;
      gy[k] = (windowScratch[at + size] - windowScratch[at - size]) / 2;
    }
  const norm = normalise(unit);
  if (norm < 1e-6) return null;
  const rawX = gx.slice();
  const rawY = gy.slice();
  project(gx, unit);
  project(gy, unit);
  const inv = invertNormal(dot(gx, gx), dot(gx, gy), dot(gy, gy));
  if (!inv) return null;
  const field = (
    u: (x: number, y: number) => number,
    v: (x: number, y: number) => number,
  ): [number, number] => {
    let sx = 0;
    let sy = 0;
    for (let k = 0; k < area; k++) {
      const x = (k % patchSize) - half;
      const y = Math.floor(k / patchSize) - half;
      const change = rawX[k] * u(x, y) + rawY[k] * v(x, y);
      sx += gx[k] * change;
      sy += gy[k] * change;
    }
    return [inv[0] * sx + inv[1] * sy, inv[1] * sx + inv[2] * sy];
  };
  return {
    factor,
    xPx: fromReduced(cx, factor),
    yPx: fromReduced(cy, factor),
    unit,
    norm,
    gx,
    gy,
    inv,
    perTurn: field(
      (_, y) => -y,
      (x) => x,
    ),
    perGrowth: field(
      (x) => x,
      (_, y) => y,
    ),
  };
}

/**
 * Finds a patch again near (xPx, yPx): translation only, inverse compositional Gauss-Newton (Baker & Matthews,
 * IJCV 56(3), 2004) with the linear change of brightness projected out (Hager & Belhumeur, PAMI 20(10), 1998, from memory),
 * cubic convolution between pixels (Keys 1981). A known turn and growth of the picture since the patch was
 * taken is allowed for to first order.
 *
 * @param turnRad turn of the picture's contents from the patch's picture to this one, x toward y
 * @param growth their relative growth, 0 for none
 * @returns null when the patch leaves its search range or nothing there resembles it
 */
export function registerPatch(
  patch: Patch,
  image: GreyImage,
  xPx: number,
  yPx: number,
  turnRad = 0,
  growth = 0,
): Registration | null {
  const { factor, inv } = patch;
  const cx = toReduced(xPx, factor);
  const cy = toReduced(yPx, factor);
  const left = Math.round(cx) - half - 1 - searchRange;
  const top = Math.round(cy) - half - 1 - searchRange;
  // Upper left corner of the patch inside the window.
  const x = cx - half - left;
  const y = cy - half - top;
  const reduced = kernelFactors.includes(factor) ? kernel?.reduce(image, factor, left, top) : undefined;
  const found =
    kernel && reduced && windowIsInside(image, factor, left, top, windowSize, windowSize)
      ? kernel.find(patch, x, y)
      : settle(patch, reduced ?? reducedPlainly(image, factor, left, top), x, y);
  if (!found) return null;
  const foundX = found[0] + half + left - turnRad * patch.perTurn[0] - growth * patch.perGrowth[0];
  const foundY = found[1] + half + top - turnRad * patch.perTurn[1] - growth * patch.perGrowth[1];
  return {
    xPx: fromReduced(foundX, factor),
    yPx: fromReduced(foundY, factor),
    sigmaPx: factor * found[3] * Math.sqrt((inv[0] + inv[2]) / 2),
    correlation: found[2],
  };
}

function reducedPlainly(image: GreyImage, factor: number, left: number, top: number): Float64Array {
  reduceWindow(image, factor, left, top, windowSize, windowSize, windowScratch);
  return windowScratch;
}

/** Gauss-Newton in the window from (x, y). @returns x, y, correlation and noise; null where it leaves or resembles nothing */
function settle(
  patch: Patch,
  window: Float64Array,
  x: number,
  y: number,
): readonly [x: number, y: number, correlation: number, noise: number] | null {
  const { gx, gy, unit, inv } = patch;
  let correlation = 0;
  let noise = 0;
  for (let iteration = 0; iteration < 10; iteration++) {
    if (!(x >= 1 && y >= 1 && x < 1 + 2 * searchRange && y < 1 + 2 * searchRange)) return null;
    sampleCubic(window, x, y, patchScratch);
    let sum = 0;
    let square = 0;
    let along = 0;
    let ix = 0;
    let iy = 0;
    for (let k = 0; k < area; k++) {
      const v = patchScratch[k];
      sum += v;
      square += v * v;
      along += v * unit[k];
      ix += v * gx[k];
      iy += v * gy[k];
    }
    const gain = along / patch.norm;
    if (!(gain > 0.05)) return null;
    const spread = square - (sum * sum) / area;
    correlation = along / Math.sqrt(spread);
    const dx = (inv[0] * ix + inv[1] * iy) / gain;
    const dy = (inv[1] * ix + inv[2] * iy) / gain;
    // Grey residual left after gain, bias and this last step.
    const explained = along * along + gain * (dx * ix + dy * iy);
    noise = Math.sqrt(Math.max(0, spread - explained) / (area - 4)) / gain;
    x -= dx;
    y -= dy;
    if (dx * dx + dy * dy < settledStep * settledStep) break;
  }
  return [x, y, correlation, noise];
}

/** Cubic convolution weights (a = -1/2) of the four samples round a point `f` beyond the second. */
function cubicWeights(f: number): [number, number, number, number] {
  const g = 1 - f;
  return [-0.5 * f * g * g, 1 + f * f * (1.5 * f - 2.5), 1 + g * g * (1.5 * g - 2.5), -0.5 * g * f * f];
}

const rowScratch = new Float64Array(patchSize * (patchSize + 3));

/** Patch whose upper left pixel is at (x, y) in the window, rows first, then columns. */
function sampleCubic(window: Float64Array, x: number, y: number, out: Float64Array): void {
  const ix = Math.floor(x);
  const iy = Math.floor(y);
  const [a0, a1, a2, a3] = cubicWeights(x - ix);
  const [b0, b1, b2, b3] = cubicWeights(y - iy);
  for (let r = 0, k = 0; r < patchSize + 3; r++) {
    let at = (iy - 1 + r) * windowSize + ix - 1;
    for (let c = 0; c < patchSize; c++, k++, at++)
      rowScratch[k] = a0 * window[at] + a1 * window[at + 1] + a2 * window[at + 2] + a3 * window[at + 3];
  }
  for (let k = 0; k < area; k++)
    out[k] =
      b0 * rowScratch[k] +
      b1 * rowScratch[k + patchSize] +
      b2 * rowScratch[k + 2 * patchSize] +
      b3 * rowScratch[k + 3 * patchSize];
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < a.length; k++) sum += a[k] * b[k];
  return sum;
}

function removeMean(a: Float64Array): void {
  let sum = 0;
  for (const v of a) sum += v;
  for (let k = 0; k < a.length; k++) a[k] -= sum / a.length;
}

/** Makes `a` zero-mean and of unit norm; returns the norm it had. */
function normalise(a: Float64Array): number {
  removeMean(a);
  const norm = Math.sqrt(dot(a, a));
  if (norm > 0) for (let k = 0; k < a.length; k++) a[k] /= norm;
  return norm;
}

/** Takes the constant and the `unit` component out of `a`. */
function project(a: Float64Array, unit: Float64Array): void {
  removeMean(a);
  const share = dot(a, unit);
  for (let k = 0; k < a.length; k++) a[k] -= share * unit[k];
}

function invertNormal(xx: number, xy: number, yy: number): [number, number, number] | null {
  const det = xx * yy - xy * xy;
  if (!(det > 1e-6 * xx * yy) || det === 0) return null;
  return [yy / det, -xy / det, xx / det];
}
