/**
 * One picture unwrapped to angle and radius, as `addToPolarMean` of shared-lib/picture/polar-mean.ts has it, in the same order, so that
 * the result is the same to the bit. Compiled by AssemblyScript to dist/kernels.wasm; the plain version is its test.
 */
const mostAngles: i32 = 96;
const mostRadii: i32 = 288;

/** Radii as multiples of the unit; directions, as x and y; light; how far out each ray goes. */
const multiples = memory.data(288 * 8, 16);
const directions = memory.data(2 * 96 * 8, 16);
const lights = memory.data(96 * 288 * 8, 16);
const reached = memory.data(96 * 4, 16);

export function polarMostAngles(): i32 {
  return mostAngles;
}
export function polarMostRadii(): i32 {
  return mostRadii;
}
export function polarMultiplesAt(): usize {
  return multiples;
}
export function polarDirectionsAt(): usize {
  return directions;
}
/** Ray after ray, `radii` doubles each. */
export function polarLightsAt(): usize {
  return lights;
}
/** Of each ray, how many of its lights lie within the picture. */
export function polarReachedAt(): usize {
  return reached;
}

/** Light of four pixels at the corners of one: upper two, lower two. */
function cornersAt(at: usize, stride: i32): v128 {
  const upper = <i32>load<u16>(at);
  const lower = <i32>load<u16>(at + stride);
  const four = i32x4.replace_lane(i32x4.replace_lane(i32x4.splat(0), 0, upper), 1, lower);
  // Bytes of the low halves of both, spread to a lane each.
  const luma = v128.shuffle<u8>(
    four,
    i32x4.splat(0),
    0,
    16,
    16,
    16,
    1,
    16,
    16,
    16,
    4,
    16,
    16,
    16,
    5,
    16,
    16,
    16,
  );
  const above = i32x4.max_s(i32x4.sub(luma, i32x4.splat(16)), i32x4.splat(0));
  return i32x4.mul(above, above);
}

/**
 * @param from address of the picture's first pixel
 * @param unit radius at multiple 1, pixels, in a picture of scale 1
 */
export function polarTake(
  from: usize,
  width: i32,
  height: i32,
  xPx: f64,
  yPx: f64,
  unit: f64,
  scale: f64,
  angles: i32,
  radii: i32,
): void {
  const right = <f64>(width - 1);
  const low = <f64>(height - 1);
  for (let i = 0; i < angles; i++) {
    const ux = load<f64>(directions + (i << 4)) * unit * scale;
    const uy = load<f64>(directions + (i << 4), 8) * unit * scale;
    let to = lights + ((i * radii) << 3);
    let k = 0;
    for (; k < radii; k++, to += 8) {
      const multiple = load<f64>(multiples + (k << 3));
      const x = xPx + multiple * ux;
      const y = yPx + multiple * uy;
      if (!(x >= 0 && y >= 0 && x < right && y < low)) break;
      const x0 = <i32>x;
      const y0 = <i32>y;
      const four = cornersAt(from + y0 * width + x0, width);
      // Upper and lower west corners, and how much east of them is brighter.
      const west = f64x2.convert_low_i32x4_s(v128.shuffle<i32>(four, four, 0, 2, 0, 2));
      const east = f64x2.convert_low_i32x4_s(v128.shuffle<i32>(four, four, 1, 3, 1, 3));
      const across = f64x2.add(west, f64x2.mul(f64x2.splat(x - <f64>x0), f64x2.sub(east, west)));
      const top = f64x2.extract_lane(across, 0);
      store<f64>(to, top + (y - <f64>y0) * (f64x2.extract_lane(across, 1) - top));
    }
    store<i32>(reached + (i << 2), k);
  }
}
