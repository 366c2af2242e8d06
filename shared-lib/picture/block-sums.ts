import type { GreyImage } from './grey-image.ts';

/** What kernels/block-sums.ts exports, as WebAssembly sees it. */
interface BlockSumsExports {
  memory: { buffer: ArrayBuffer };
  blockSumsAt(): number;
  mostBlockSums(): number;
  sumBlocks(from: number, stride: number, across: number, down: number): void;
}

/** Pixels of a block each way. */
export const blockPx = 8;

let kernel: BlockSumsExports | null = null;

/** Has compiled code add blocks up from now on, with the same result; the plain code again with null. */
export function useBlockSumsKernel(exports: unknown): void {
  kernel = exports as BlockSumsExports | null;
}

/** Sums of luma over the picture's whole blocks, row by row; pixels at its right and lower edge that fill none are left out. */
export function blockSums({ width, height, data }: GreyImage): Uint16Array {
  const across = Math.floor(width / blockPx);
  const down = Math.floor(height / blockPx);
  if (kernel && data.buffer === kernel.memory.buffer && across * down <= kernel.mostBlockSums()) {
    kernel.sumBlocks(data.byteOffset, width, across, down);
    return new Uint16Array(kernel.memory.buffer, kernel.blockSumsAt(), across * down).slice();
  }
  const sums = new Uint16Array(across * down);
  for (let y = 0; y < down * blockPx; y++) {
    const row = Math.floor(y / blockPx) * across;
    for (let x = 0; x < across * blockPx; x++) sums[row + Math.floor(x / blockPx)] += data[y * width + x];
  }
  return sums;
}
