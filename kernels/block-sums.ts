/**
 * Sums of light over the blocks of a picture, as `blockSums` of shared-lib/picture/block-sums.ts has them. Compiled by
 * AssemblyScript to dist/kernels.wasm; the plain version is its test.
 */
const mostBlocks: i32 = 131072;
const sums = memory.data(262144, 16);

export function blockSumsAt(): usize {
  return sums;
}
export function mostBlockSums(): i32 {
  return mostBlocks;
}

/** Sums of eight pixels by eight, row by row. @param from address of the first pixel; `stride` from one row to the next */
export function sumBlocks(from: usize, stride: i32, across: i32, down: i32): void {
  let to = sums;
  for (let y = 0; y < down; y++) {
    const row = from + y * 8 * stride;
    let x = 0;
    for (; x + 2 <= across; x += 2, to += 4) {
      // Two blocks side by side, four lanes each: eight rows of two pixels a lane stay below 16 bits.
      let lanes = i16x8.splat(0);
      let at = row + x * 8;
      for (let k = 0; k < 8; k++, at += stride)
        lanes = i16x8.add(lanes, i16x8.extadd_pairwise_i8x16_u(v128.load(at)));
      const pairs = i32x4.extadd_pairwise_i16x8_u(lanes);
      store<u16>(to, i32x4.extract_lane(pairs, 0) + i32x4.extract_lane(pairs, 1));
      store<u16>(to, i32x4.extract_lane(pairs, 2) + i32x4.extract_lane(pairs, 3), 2);
    }
    if (x < across) {
      let sum = 0;
      for (let k = 0; k < 8; k++)
        for (let i = 0; i < 8; i++) sum += <i32>load<u8>(row + x * 8 + k * stride + i);
      store<u16>(to, sum);
      to += 2;
    }
  }
}
