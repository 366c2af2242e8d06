import { cutKernel, type Piece } from './cut-kernel.ts';
import type { GreyImage } from './grey-image.ts';

/** What one picture showed in a square, to be held against the same square of the next. */
export interface ShownSquare {
  /** Its first column and row, and how many it has of each, pixels. */
  x: number;
  y: number;
  side: number;
  levels: Uint8Array;
}

/**
 * The square of `side` pixels round a place, moved inside the picture where it would reach beyond it.
 *
 * @param room a square of the same side that is no longer needed, to be written over
 */
export function takeSquare(
  image: GreyImage,
  xPx: number,
  yPx: number,
  side: number,
  room: ShownSquare | null,
): ShownSquare {
  const start = (middle: number, most: number): number =>
    Math.max(0, Math.min(most - side, Math.round(middle - (side - 1) / 2)));
  const square = room ?? { x: 0, y: 0, side, levels: new Uint8Array(side * side) };
  square.x = start(xPx, image.width);
  square.y = start(yPx, image.height);
  if (cutKernel()?.cut(image, pieceOf(square), square.levels)) return square;
  for (let row = 0; row < side; row++) {
    const from = (square.y + row) * image.width + square.x;
    for (let k = 0; k < side; k++) square.levels[row * side + k] = image.data[from + k];
  }
  return square;
}

/** Share of a square's pixels that a later picture of the same size shows exactly as they were, 0 to 1. */
export function unchangedShare(square: ShownSquare, image: GreyImage): number {
  const { side, levels } = square;
  const unchanged = cutKernel()?.same(image, pieceOf(square), levels) ?? unchangedPlainly(square, image);
  return unchanged / (side * side);
}

const pieceOf = ({ x, y, side }: ShownSquare): Piece => ({ left: x, top: y, width: side, height: side });

function unchangedPlainly({ x, y, side, levels }: ShownSquare, image: GreyImage): number {
  let unchanged = 0;
  for (let row = 0; row < side; row++) {
    const from = (y + row) * image.width + x;
    for (let k = 0; k < side; k++) if (image.data[from + k] === levels[row * side + k]) unchanged++;
  }
  return unchanged;
}
