/**
 * Light round a centre by angle and radius, as `addToPolarMean` of shared-lib/picture/polar-mean.ts looks it up, in the same order,
 * so that the result is the same to the bit. Compiled by AssemblyScript to dist/kernels.wasm; the plain version is its test.
 */
import { leftOf, lightOf, pixelsAt, rightOf } from './pixels';

const mostAngles: i32 = 96;
const mostRadii: i32 = 288;

// Directions of the angles, right and down; radii as multiples of the unit; what is seen, and how far out each angle lies in the picture.
const rights = memory.data(96 * 8, 16);
const downs = memory.data(96 * 8, 16);
const multiples = memory.data(288 * 8, 16);
const seen = memory.data(96 * 288 * 8, 16);
const counts = memory.data(96 * 4, 16);

export function polarRightsAt(): usize {
  return rights;
}
export function polarDownsAt(): usize {
  return downs;
}
export function polarMultiplesAt(): usize {
  return multiples;
}
export function polarSeenAt(): usize {
  return seen;
}
export function polarCountsAt(): usize {
  return counts;
}
export function mostPolarAngles(): i32 {
  return mostAngles;
}
export function mostPolarRadii(): i32 {
  return mostRadii;
}

/** Fills what is seen, `radii` values an angle. */
export function polarLight(
  data: usize,
  width: i32,
  height: i32,
  angles: i32,
  radii: i32,
  xPx: f64,
  yPx: f64,
  unitPx: f64,
  scale: f64,
): void {
  const right = <f64>(width - 1);
  const bottom = <f64>(height - 1);
  for (let i = 0; i < angles; i++) {
    const ux = load<f64>(rights + (i << 3)) * unitPx * scale;
    const uy = load<f64>(downs + (i << 3)) * unitPx * scale;
    const to: usize = seen + ((i * radii) << 3);
    let k = 0;
    for (; k < radii; k++) {
      const multiple = load<f64>(multiples + (k << 3));
      const x = xPx + multiple * ux;
      const y = yPx + multiple * uy;
      if (!(x >= 0 && y >= 0 && x < right && y < bottom)) break;
      const x0 = <i32>x;
      const y0 = <i32>y;
      const pixels = pixelsAt(data + y0 * width + x0, width);
      const left = lightOf(leftOf(pixels));
      const rows = f64x2.add(
        left,
        f64x2.mul(f64x2.splat(x - <f64>x0), f64x2.sub(lightOf(rightOf(pixels)), left)),
      );
      const top = f64x2.extract_lane(rows, 0);
      store<f64>(to + (k << 3), top + (y - <f64>y0) * (f64x2.extract_lane(rows, 1) - top));
    }
    store<i32>(counts + (i << 2), k);
  }
}
