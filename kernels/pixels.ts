/** Pixels as numbers, two at once: what the kernels that look between pixels share. */

/** The four pixels about a place, from the address of the upper left one. */
export function pixelsAt(at: usize, width: i32): v128 {
  return i32x4.splat((<i32>load<u16>(at)) | ((<i32>load<u16>(at + width)) << 16));
}

/** Their left two in one vector, the right two in another. */
export function leftOf(pixels: v128): v128 {
  return f64x2.convert_low_i32x4_u(
    v128.shuffle<u8>(pixels, i32x4.splat(0), 0, 16, 16, 16, 2, 16, 16, 16, 16, 16, 16, 16, 16, 16, 16, 16),
  );
}
export function rightOf(pixels: v128): v128 {
  return f64x2.convert_low_i32x4_u(
    v128.shuffle<u8>(pixels, i32x4.splat(0), 1, 16, 16, 16, 3, 16, 16, 16, 16, 16, 16, 16, 16, 16, 16, 16),
  );
}
export function lightOf(level: v128): v128 {
  const above = f64x2.pmax(f64x2.splat(0), f64x2.sub(level, f64x2.splat(16)));
  return f64x2.mul(above, above);
}
