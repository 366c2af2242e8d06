/**
 * Block means of a piece of a picture, as `cropDisc` of shared-lib/picture/disc-crop.ts takes them, sixteen columns at once: sums
 * of whole numbers, whose order does not matter. Compiled by AssemblyScript to dist/kernels.wasm; the plain version is its test.
 */
const mostBytes: i32 = 65536;
const mostColumns: i32 = 8192;
/** A block with more pixels along its side could exceed what a column's sum holds. */
const mostTaps: i32 = 256;

const blocks = memory.data(65536, 16);
// Sums down the blocks of a line, column by column; room for whole vectors beyond the last.
const columns = memory.data(8192 * 2 + 32, 16);

export function cropBlocksAt(): usize {
  return blocks;
}
export function mostCropBytes(): i32 {
  return mostBytes;
}
export function mostCropColumns(): i32 {
  return mostColumns;
}
export function mostCropTaps(): i32 {
  return mostTaps;
}

function within(at: i32, count: i32): i32 {
  return min(count - 1, max(0, at));
}

/** Adds `count` pixels of a line to the sums of as many columns. */
function addLine(from: usize, to: usize, count: i32): void {
  let k = 0;
  for (; k + 16 <= count; k += 16) {
    const pixels = v128.load(from + k);
    const at = to + (k << 1);
    v128.store(at, i16x8.add(v128.load(at), i16x8.extend_low_i8x16_u(pixels)));
    v128.store(at, i16x8.add(v128.load(at, 16), i16x8.extend_high_i8x16_u(pixels)), 16);
  }
  for (; k < count; k++) {
    const at = to + (k << 1);
    store<u16>(at, load<u16>(at) + <u16>load<u8>(from + k));
  }
}

/** @param left, top the piece's corner in the picture, beyond whose border its outermost pixels go on */
export function cropBlocks(
  data: usize,
  width: i32,
  height: i32,
  left: i32,
  top: i32,
  factor: i32,
  pitch: i32,
  taps: i32,
  side: i32,
): void {
  const count = side * factor;
  const area = taps * taps;
  // Columns of the piece from `from` to `to` lie in the picture.
  const from = min(count, max(0, -left));
  const to = max(from, min(count, width - left));
  for (let y = 0; y < side; y++) {
    memory.fill(columns, 0, count << 1);
    for (let j = 0; j < taps; j++) {
      const line = data + within(top + y * factor + j * pitch, height) * width;
      addLine(line + left + from, columns + (from << 1), to - from);
      const first = <u16>load<u8>(line + within(left, width));
      const last = <u16>load<u8>(line + within(left + count - 1, width));
      for (let k = 0; k < from; k++) store<u16>(columns + (k << 1), load<u16>(columns + (k << 1)) + first);
      for (let k = to; k < count; k++) store<u16>(columns + (k << 1), load<u16>(columns + (k << 1)) + last);
    }
    for (let x = 0; x < side; x++) {
      let sum = 0;
      const start: usize = columns + ((x * factor) << 1);
      for (let i = 0; i < taps; i++) sum += <i32>load<u16>(start + ((i * pitch) << 1));
      store<u8>(blocks + y * side + x, (2 * sum + area) / (2 * area));
    }
  }
}
