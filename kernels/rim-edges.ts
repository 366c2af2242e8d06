/**
 * Looking along rays for edges, as `findRimEdges` of shared-lib/picture/rim-edges.ts does it, in the same order, so that the
 * result is the same to the bit. Compiled by AssemblyScript to dist/kernels.wasm; the plain version is its test.
 */
const mostRays: i32 = 128;
const candidatesPerRay: i32 = 4;
const mostSamples: i32 = 2048;
/** The cut-outs of a large disc to which a pose is fitted. */
const mostImageBytes: i32 = 1 << 23;

// Of each ray: where it starts, its direction, and over how many samples a step is taken.
const px = memory.data(5 * 128 * 8, 16);
const py: usize = px + mostRays * 8;
const nx: usize = py + mostRays * 8;
const ny: usize = nx + mostRays * 8;
const halves: usize = ny + mostRays * 8;
// Of each candidate: its place along the ray, its step and the level inside it; then whether each ray lies in the picture.
const offset = memory.data(3 * 128 * 4 * 8 + 128, 16);
const step: usize = offset + mostRays * candidatesPerRay * 8;
const inner: usize = step + mostRays * candidatesPerRay * 8;
const inside: usize = inner + mostRays * candidatesPerRay * 8;
const luma = memory.data(2048 * 8, 16);
const light = memory.data(2048 * 8, 16);
const image = memory.data(1 << 23, 16);

export function rimRaysAt(): usize {
  return px;
}
export function rimEdgesAt(): usize {
  return offset;
}
/** Room for pictures, which those that lie in this memory already do not need. */
export function rimImageAt(): usize {
  return image;
}
export function mostRimRays(): i32 {
  return mostRays;
}
export function mostRimSamples(): i32 {
  return mostSamples;
}
export function mostRimImageBytes(): i32 {
  return mostImageBytes;
}

/** The four pixels about a place: the left two in one vector, the right two in another. */
function leftOf(pixels: v128): v128 {
  return f64x2.convert_low_i32x4_u(
    v128.shuffle<u8>(pixels, i32x4.splat(0), 0, 16, 16, 16, 2, 16, 16, 16, 16, 16, 16, 16, 16, 16, 16, 16),
  );
}
function rightOf(pixels: v128): v128 {
  return f64x2.convert_low_i32x4_u(
    v128.shuffle<u8>(pixels, i32x4.splat(0), 1, 16, 16, 16, 3, 16, 16, 16, 16, 16, 16, 16, 16, 16, 16, 16),
  );
}
function lightOf(level: v128): v128 {
  const above = f64x2.pmax(f64x2.splat(0), f64x2.sub(level, f64x2.splat(16)));
  return f64x2.mul(above, above);
}

/** Running sums of the samples along a ray, of luma or of light. */
function along(
  sums: usize,
  data: usize,
  width: i32,
  atX: f64,
  atY: f64,
  dx: f64,
  dy: f64,
  count: i32,
  isLight: bool,
): void {
  let sum: f64 = 0;
  let x = atX;
  let y = atY;
  store<f64>(sums, 0);
  for (let j = 1; j <= count; j++) {
    const x0 = <i32>x;
    const y0 = <i32>y;
    const at = data + y0 * width + x0;
    const pixels = i32x4.splat((<i32>load<u16>(at)) | ((<i32>load<u16>(at + width)) << 16));
    let left = leftOf(pixels);
    let right = rightOf(pixels);
    if (isLight) {
      left = lightOf(left);
      right = lightOf(right);
    }
    const rows = f64x2.add(left, f64x2.mul(f64x2.splat(x - <f64>x0), f64x2.sub(right, left)));
    const top = f64x2.extract_lane(rows, 0);
    sum += top + (y - <f64>y0) * (f64x2.extract_lane(rows, 1) - top);
    store<f64>(sums + (j << 3), sum);
    x += dx;
    y += dy;
  }
}

function at(sums: usize, j: i32): f64 {
  return load<f64>(sums + (j << 3));
}

function stepInLight(m: i32, half: i32, total: i32, sign: f64): f64 {
  if (m < half || m + half > total) return -Infinity;
  return sign * (at(light, m + half) - 2 * at(light, m) + at(light, m - half));
}

function placeInLight(from: i32, half: i32, total: i32, sign: f64): f64 {
  let m = from;
  let here = stepInLight(m, half, total, sign);
  let after = stepInLight(m + 1, half, total, sign);
  let before = stepInLight(m - 1, half, total, sign);
  while (after > here && m - from < half) {
    m++;
    before = here;
    here = after;
    after = stepInLight(m + 1, half, total, sign);
  }
  while (before > here && from - m < half) {
    m--;
    after = here;
    here = before;
    before = stepInLight(m - 1, half, total, sign);
  }
  const bend = before - 2 * here + after;
  const shift = bend < 0 ? (0.5 * (before - after)) / bend : 0;
  return <f64>m + (shift >= -0.5 && shift <= 0.5 ? shift : 0);
}

function keepStrongest(ray: i32, place: f64, size: f64, level: f64): void {
  const first = ray * candidatesPerRay;
  const end = first + candidatesPerRay;
  let to = end;
  while (to > first && Math.abs(at(step, to - 1)) < Math.abs(size)) to--;
  if (to == end) return;
  for (let k = end - 1; k > to; k--) {
    store<f64>(offset + (k << 3), at(offset, k - 1));
    store<f64>(step + (k << 3), at(step, k - 1));
    store<f64>(inner + (k << 3), at(inner, k - 1));
  }
  store<f64>(offset + (to << 3), place);
  store<f64>(step + (to << 3), size);
  store<f64>(inner + (to << 3), level);
}

/** The edges on all rays. @returns how many rays lie in the picture */
export function rimEdges(data: usize, width: i32, height: i32, rays: i32, reach: i32, minStep: f64): i32 {
  const maxX = <f64>(width - 2);
  const maxY = <f64>(height - 2);
  memory.fill(step, 0, rays * candidatesPerRay * 8);
  memory.fill(inner, 0, rays * candidatesPerRay * 8);
  for (let k = 0; k < rays * candidatesPerRay; k++) store<f64>(offset + (k << 3), NaN);
  memory.fill(inside, 0, rays);
  let count = 0;
  for (let ray = 0; ray < rays; ray++) {
    const x = at(px, ray);
    const y = at(py, ray);
    const dx = at(nx, ray);
    const dy = at(ny, ray);
    const half = <i32>at(halves, ray);
    const from = -(reach + half + 1);
    const endX = x + <f64>from * dx;
    const endY = y + <f64>from * dy;
    const farX = x - <f64>from * dx;
    const farY = y - <f64>from * dy;
    // What is no number lies nowhere.
    const isInside =
      endX >= 0 &&
      endX <= maxX &&
      farX >= 0 &&
      farX <= maxX &&
      endY >= 0 &&
      endY <= maxY &&
      farY >= 0 &&
      farY <= maxY;
    if (!isInside) continue;
    store<u8>(inside + ray, 1);
    count++;
    edgesOnRay(data, width, endX, endY, dx, dy, from, reach, half, minStep, ray);
  }
  return count;
}

function edgesOnRay(
  data: usize,
  width: i32,
  endX: f64,
  endY: f64,
  dx: f64,
  dy: f64,
  from: i32,
  reach: i32,
  half: i32,
  minStep: f64,
  ray: i32,
): void {
  const count = -2 * from + 1;
  along(luma, data, width, endX, endY, dx, dy, count, false);
  let isLit = false;
  const over = <f64>half;
  let here = (at(luma, 2 * half) - 2 * at(luma, half) + at(luma, 0)) / over;
  let after = (at(luma, 2 * half + 1) - 2 * at(luma, half + 1) + at(luma, 1)) / over;
  for (let m = half + 1, end = half + 2 * reach + 2; m < end; m++) {
    const before = here;
    here = after;
    after = (at(luma, m + 1 + half) - 2 * at(luma, m + 1) + at(luma, m + 1 - half)) / over;
    const size = Math.abs(here);
    if (size < minStep || size < Math.abs(before) || size <= Math.abs(after)) continue;
    if (!isLit) along(light, data, width, endX, endY, dx, dy, count, true);
    isLit = true;
    const place = placeInLight(m, half, count, here < 0 ? -1 : 1);
    keepStrongest(ray, <f64>from + place - 0.5, here, (at(luma, m) - at(luma, m - half)) / over);
  }
}
