/** An 8-bit grey picture, row-major, no padding; the centre of the top-left pixel is (0, 0). */
export interface GreyImage {
  width: number;
  height: number;
  data: Uint8Array;
}

/** Grey level at (xPx, yPx) by bilinear interpolation; positions outside are clamped to the border. */
export function sampleBilinear(image: GreyImage, xPx: number, yPx: number): number {
  const { width, height, data } = image;
  const x = xPx < 0 ? 0 : xPx > width - 1.001 ? width - 1.001 : xPx;
  const y = yPx < 0 ? 0 : yPx > height - 1.001 ? height - 1.001 : yPx;
  const x0 = x | 0;
  const y0 = y | 0;
  const fx = x - x0;
  const fy = y - y0;
  const at = y0 * width + x0;
  const top = data[at] + fx * (data[at + 1] - data[at]);
  const bottom = data[at + width] + fx * (data[at + width + 1] - data[at + width]);
  return top + fy * (bottom - top);
}

/** What kernels/edge-votes.ts exports for this, as WebAssembly sees it. */
interface ReduceExports {
  memory: { buffer: ArrayBuffer };
  edgeVotesMost(): number;
  edgeVotesImageAt(): number;
  edgeVotesReduce(from: number, stride: number, factor: number, width: number, height: number): void;
}

let kernel: ReduceExports | null = null;

/** Has compiled code reduce the pictures that lie in its memory from now on, with the same result; the plain code again with null. */
export function useReduceKernel(exports: unknown): void {
  kernel = exports as ReduceExports | null;
}

/**
 * The picture reduced by a whole factor, each pixel the mean of a factor x factor block. Pixel (x, y) of
 * the result lies at (x f + (f - 1) / 2, y f + (f - 1) / 2) of the original.
 */
export function reduceBy(image: GreyImage, factor: number): GreyImage {
  if (factor === 1) return image;
  const width = Math.floor(image.width / factor);
  const height = Math.floor(image.height / factor);
  const data =
    (kernel && reduceCompiled(kernel, image, factor, width, height)) ??
    reducePlainly(image, factor, width, height);
  return { width, height, data };
}

function reduceCompiled(
  wasm: ReduceExports,
  { width: stride, data }: GreyImage,
  factor: number,
  width: number,
  height: number,
): Uint8Array | null {
  const { buffer } = wasm.memory;
  if (data.buffer !== buffer || width * height > wasm.edgeVotesMost()) return null;
  wasm.edgeVotesReduce(data.byteOffset, stride, factor, width, height);
  return new Uint8Array(buffer, wasm.edgeVotesImageAt(), width * height).slice();
}

function reducePlainly(
  { width: stride, data: from }: GreyImage,
  factor: number,
  width: number,
  height: number,
): Uint8Array {
  const data = new Uint8Array(width * height);
  const area = factor * factor;
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      let sum = 0;
      for (let j = 0; j < factor; j++) {
        let at = (y * factor + j) * stride + x * factor;
        for (let i = 0; i < factor; i++) sum += from[at++];
      }
      data[y * width + x] = (sum + area / 2) / area;
    }
  }
  return data;
}

/** A position in the reduced picture as a position in the original, per axis. */
export const fromReduced = (positionPx: number, factor: number): number =>
  positionPx * factor + (factor - 1) / 2;

/** A position in the original as a position in the reduced picture, per axis. */
export const toReduced = (positionPx: number, factor: number): number =>
  (positionPx - (factor - 1) / 2) / factor;
