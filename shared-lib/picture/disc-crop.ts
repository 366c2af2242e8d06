import type { GreyImage } from './grey-image.ts';

/** A square piece round a disc, reduced so that the disc's radius is about `radiusPx`. */
export interface DiscCrop {
  image: GreyImage;
  factor: number;
  /** Full-picture position of the crop's pixel (0, 0) centre is (leftPx + (factor - 1) / 2, topPx + ...). */
  leftPx: number;
  topPx: number;
}

/** What kernels/crop.ts exports, as WebAssembly sees it. */
interface CropExports {
  memory: { buffer: ArrayBuffer };
  cropBlocksAt(): number;
  mostCropBytes(): number;
  mostCropColumns(): number;
  mostCropTaps(): number;
  cropBlocks(
    data: number,
    width: number,
    height: number,
    leftPx: number,
    topPx: number,
    factor: number,
    pitch: number,
    taps: number,
    side: number,
  ): void;
}

type Blocks = (
  image: GreyImage,
  leftPx: number,
  topPx: number,
  factor: number,
  pitch: number,
  taps: number,
  side: number,
) => Uint8Array | null;

let compiled: Blocks | null = null;

/** Has compiled code take the means from now on, of pictures in its memory, with the same result; the plain code again with null. */
export function useCropKernel(exports: unknown): void {
  const wasm = exports as CropExports | null;
  compiled = wasm && blocksCompiled(wasm);
}

/**
 * Cuts a square of half side `halfPx` round (xPx, yPx) and reduces it by a whole factor, block means.
 * Parts outside the picture repeat its border. With a `pitch` only every so many pixels of a block count, along both axes.
 */
export function cropDisc(
  image: GreyImage,
  xPx: number,
  yPx: number,
  halfPx: number,
  factor: number,
  pitch = 1,
): DiscCrop {
  const side = Math.max(4, Math.ceil((2 * halfPx) / factor));
  const leftPx = Math.round(xPx - (side * factor) / 2);
  const topPx = Math.round(yPx - (side * factor) / 2);
  const taps = Math.ceil(factor / pitch);
  const data =
    compiled?.(image, leftPx, topPx, factor, pitch, taps, side) ??
    blocksPlainly(image, leftPx, topPx, factor, pitch, taps, side);
  return { image: { width: side, height: side, data }, factor, leftPx, topPx };
}

function blocksCompiled(wasm: CropExports): Blocks {
  const { buffer } = wasm.memory;
  const blocks = new Uint8Array(buffer, wasm.cropBlocksAt(), wasm.mostCropBytes());
  const mostColumns = wasm.mostCropColumns();
  const mostTaps = wasm.mostCropTaps();
  return ({ data, width, height }, leftPx, topPx, factor, pitch, taps, side) => {
    const isHeld =
      data.buffer === buffer &&
      side * side <= blocks.length &&
      side * factor <= mostColumns &&
      taps <= mostTaps;
    if (!isHeld) return null;
    wasm.cropBlocks(data.byteOffset, width, height, leftPx, topPx, factor, pitch, taps, side);
    return blocks.slice(0, side * side);
  };
}

function blocksPlainly(...of: Parameters<Blocks>): Uint8Array {
  const [image, leftPx, topPx, factor, pitch, taps, side] = of;
  const { width, height } = image;
  const data = new Uint8Array(side * side);
  const area = taps * taps;
  const inside =
    leftPx >= 0 && topPx >= 0 && leftPx + side * factor <= width && topPx + side * factor <= height;
  if (inside) {
    reduceInside(image, topPx * width + leftPx, factor, pitch, taps, side, data);
    return data;
  }
  for (let y = 0; y < side; y++) {
    for (let x = 0; x < side; x++) {
      let sum = 0;
      for (let j = 0; j < taps; j++) {
        const line = within(topPx + y * factor + j * pitch, height) * width;
        const start = leftPx + x * factor;
        for (let i = 0; i < taps; i++) sum += image.data[line + within(start + i * pitch, width)];
      }
      data[y * side + x] = (sum + area / 2) / area;
    }
  }
  return data;
}

/** Block means of a piece that lies in the picture whole, from pixel `first` on; sums of whole numbers, line by line. */
function reduceInside(
  { data: from, width }: GreyImage,
  first: number,
  factor: number,
  pitch: number,
  taps: number,
  side: number,
  to: Uint8Array,
): void {
  const area = taps * taps;
  const sums = new Int32Array(side);
  for (let y = 0, out = 0; y < side; y++) {
    sums.fill(0);
    for (let j = 0; j < taps; j++) {
      const line = first + (y * factor + j * pitch) * width;
      for (let x = 0, start = line; x < side; x++, start += factor) {
        let sum = 0;
        for (let i = 0, at = start; i < taps; i++, at += pitch) sum += from[at];
        sums[x] += sum;
      }
    }
    for (let x = 0; x < side; x++, out++) to[out] = (sums[x] + area / 2) / area;
  }
}

const within = (at: number, count: number): number => Math.min(count - 1, Math.max(0, at));

/** A full-picture position in the crop's own pixels, per axis: pass leftPx or topPx as `originPx`. */
export const toCrop = (positionPx: number, originPx: number, factor: number): number =>
  (positionPx - originPx - (factor - 1) / 2) / factor;

/** The reverse of toCrop. */
export const fromCrop = (positionPx: number, originPx: number, factor: number): number =>
  positionPx * factor + (factor - 1) / 2 + originPx;
