/**
 * Pieces cut out of a picture, row by row, and what of them a later picture shows as it was, as `takeSquare` and `unchangedShare` of
 * shared-lib/picture/shown-square.ts and `cutOut` of shared-lib/trace/disc-views.ts have it. Compiled by AssemblyScript to
 * dist/kernels.wasm; the plain versions are its test.
 */
const mostBytes: i32 = 1048576;
const piece = memory.data(1048576, 16);

/** Where a piece's rows lie, one after the other. */
export function cutAt(): usize {
  return piece;
}
export function mostCutBytes(): i32 {
  return mostBytes;
}

/** @param from address of the first pixel; `stride` from one row of the picture to the next */
export function cutPiece(from: usize, stride: i32, width: i32, height: i32): void {
  for (let y = 0; y < height; y++) memory.copy(piece + y * width, from + y * stride, width);
}

/** How many pixels of the piece are the same there, sixteen at once. */
export function sameAsCut(from: usize, stride: i32, width: i32, height: i32): i32 {
  let same = 0;
  for (let y = 0; y < height; y++) {
    const here = from + y * stride;
    const there = piece + y * width;
    let k = 0;
    for (; k + 16 <= width; k += 16)
      same += popcnt(i8x16.bitmask(i8x16.eq(v128.load(here + k), v128.load(there + k))));
    const left = width - k;
    if (left > 0 && width >= 16) {
      // The last sixteen of the row, of which some were counted already.
      const last = width - 16;
      same += popcnt(i8x16.bitmask(i8x16.eq(v128.load(here + last), v128.load(there + last))) >> (16 - left));
    } else for (; k < width; k++) same += <i32>(load<u8>(here + k) == load<u8>(there + k));
  }
  return same;
}
