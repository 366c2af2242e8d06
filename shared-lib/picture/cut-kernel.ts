import type { GreyImage } from './grey-image.ts';

/** What kernels/cut.ts exports, as WebAssembly sees it. */
interface CutExports {
  memory: { buffer: ArrayBuffer };
  cutAt(): number;
  mostCutBytes(): number;
  cutPiece(from: number, stride: number, width: number, height: number): void;
  sameAsCut(from: number, stride: number, width: number, height: number): number;
}

/** A piece of a picture, inside it. */
export interface Piece {
  left: number;
  top: number;
  width: number;
  height: number;
}

/** Compiled code for pieces of pictures that lie in its memory. */
export interface CutKernel {
  /** Copies a piece's rows to the start of `to`, one after the other; false where it cannot. */
  cut(image: GreyImage, piece: Piece, to: Uint8Array): boolean;
  /** How many of a piece's pixels are those of `rows`; null where it cannot. */
  same(image: GreyImage, piece: Piece, rows: Uint8Array): number | null;
}

let kernel: CutKernel | null = null;

/** Has compiled code cut pieces from now on, with the same result; the plain code again with null. */
export function useCutKernel(exports: unknown): void {
  kernel = exports ? kernelOf(exports as CutExports) : null;
}

export const cutKernel = (): CutKernel | null => kernel;

function kernelOf(wasm: CutExports): CutKernel {
  const { buffer } = wasm.memory;
  const room = new Uint8Array(buffer, wasm.cutAt(), wasm.mostCutBytes());
  const isHeld = (image: GreyImage, { left, top, width, height }: Piece): boolean =>
    image.data.buffer === buffer &&
    width * height <= room.length &&
    left >= 0 &&
    top >= 0 &&
    left + width <= image.width &&
    top + height <= image.height;
  // Many squares of one size are cut in a row.
  let rows = room;
  const rowsOf = (count: number): Uint8Array =>
    rows.length === count ? rows : (rows = room.subarray(0, count));
  const firstOf = ({ data, width }: GreyImage, { left, top }: Piece): number =>
    data.byteOffset + top * width + left;
  return {
    cut(image, piece, to) {
      if (!isHeld(image, piece)) return false;
      wasm.cutPiece(firstOf(image, piece), image.width, piece.width, piece.height);
      to.set(rowsOf(piece.width * piece.height));
      return true;
    },
    same(image, piece, rows) {
      if (!isHeld(image, piece)) return null;
      room.set(rows);
      return wasm.sameAsCut(firstOf(image, piece), image.width, piece.width, piece.height);
    },
  };
}
