/**
 * One picture unwrapped to angle and radius, as `addToPolarMean` of shared-lib/picture/polar-mean.ts has it, in the same order, so that
 * the result is the same to the bit. Compiled by AssemblyScript to dist/kernels.wasm; the plain version is its test.
 */
const mostAngles: i32 = 96;
const mostRadii: i32 = 288;

/** Radii as multiples of the unit; directions, as x and y; the light of each luma; light; how far out each ray goes. */
const multiples = memory.data(288 * 8, 16);
const lightOf = memory.data(256 * 8, 16);
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
/** As shared-lib/picture/light.ts has it, doubles. */
export function polarLightOfAt(): usize {
  return lightOf;
}
/** Ray after ray, `radii` doubles each. */
export function polarLightsAt(): usize {
  return lights;
}
/** Of each ray, how many of its lights lie within the picture. */
export function polarReachedAt(): usize {
  return reached;
}

function light(at: usize): f64 {
  return load<f64>(lightOf + ((<usize>load<u8>(at)) << 3));
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
      const at = from + y0 * width + x0;
      const nw = light(at);
      const sw = light(at + width);
      const fx = x - <f64>x0;
      const top = nw + fx * (light(at + 1) - nw);
      store<f64>(to, top + (y - <f64>y0) * (sw + fx * (light(at + width + 1) - sw) - top));
    }
    store<i32>(reached + (i << 2), k);
  }
}
