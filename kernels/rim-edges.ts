/**
 * Looking along rays for edges, as `findRimEdges` of shared-lib/picture/rim-edges.ts does it, in the same order, so that the
 * result is the same to the bit. Compiled by AssemblyScript to dist/kernels.wasm; the plain version is its test.
 */
import { cos, sin } from './engine';

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

// Directions of rays about a rim that is turned: the last of a few numbers of rays, since several rims in a row are turned the same way.
const mostTurns: i32 = 4;
const turnBytes: i32 = (2 * 128 + 2) * 8;
const turns = memory.data(4 * (2 * 128 + 2) * 8, 16);
let nextTurn: i32 = 0;

// Of each of a view's bands: px, py, nx, ny of its rays, then offsets and steps of their candidates; and the edges of all of them.
const mostBands: i32 = 8;
const bandRays: i32 = 72;
const rayBytes: i32 = 72 * 8;
const bandBytes: i32 = 4 * 72 * 8 + 2 * 72 * 4 * 8;
const bandsRoom = memory.data(8 * (4 * 72 * 8 + 2 * 72 * 4 * 8), 16);
const mostPoints: i32 = 72 * 8 * 4;
const xs = memory.data(3 * 72 * 8 * 4 * 8, 16);
const ys: usize = xs + mostPoints * 8;
const weights: usize = ys + mostPoints * 8;
const firsts = memory.data(73 * 4, 16);

export function bandEdgesAt(): usize {
  return xs;
}
export function bandFirstsAt(): usize {
  return firsts;
}
export function mostBandEdges(): i32 {
  return mostPoints;
}

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
export function mostRimImageBytes(): i32 {
  return mostImageBytes;
}

/** Four pixels about a place: two of its line and two of the next. */
function about(data: usize, width: i32, x: i32, y: i32): i32 {
  const at = data + y * width + x;
  return (<i32>load<u16>(at)) | ((<i32>load<u16>(at + width)) << 16);
}
/** One of the four about each of two places, as luma or as light. */
function pixel(rows: v128, shift: i32, isLight: bool): v128 {
  const level = f64x2.convert_low_i32x4_s(v128.and(i32x4.shr_u(rows, shift), i32x4.splat(0xff)));
  if (!isLight) return level;
  const above = f64x2.pmax(f64x2.splat(0), f64x2.sub(level, f64x2.splat(16)));
  return f64x2.mul(above, above);
}

/** Whole numbers below 2^31 show in the lower half of their sum with this. */
const whole: f64 = 4503599627370496;

/** The levels at two places, which lie in the picture. */
function levels(data: usize, width: i32, x: v128, y: v128, isLight: bool): v128 {
  const xi = f64x2.trunc(x);
  const yi = f64x2.trunc(y);
  const fx = f64x2.sub(x, xi);
  const atX = f64x2.add(xi, f64x2.splat(whole));
  const atY = f64x2.add(yi, f64x2.splat(whole));
  const rows = i32x4.replace_lane(
    i32x4.splat(about(data, width, i32x4.extract_lane(atX, 0), i32x4.extract_lane(atY, 0))),
    1,
    about(data, width, i32x4.extract_lane(atX, 2), i32x4.extract_lane(atY, 2)),
  );
  const nw = pixel(rows, 0, isLight);
  const sw = pixel(rows, 16, isLight);
  const top = f64x2.add(nw, f64x2.mul(fx, f64x2.sub(pixel(rows, 8, isLight), nw)));
  const bottom = f64x2.add(sw, f64x2.mul(fx, f64x2.sub(pixel(rows, 24, isLight), sw)));
  return f64x2.add(top, f64x2.mul(f64x2.sub(y, yi), f64x2.sub(bottom, top)));
}

/** Running sums of an odd number of samples along a ray, of luma or of light: the first, then two at once. */
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
  let x = atX;
  let y = atY;
  let sum = f64x2.extract_lane(levels(data, width, f64x2.splat(x), f64x2.splat(y), isLight), 0);
  store<f64>(sums, 0);
  store<f64>(sums, sum, 8);
  for (let j = 2; j < count; j += 2) {
    const x1 = x + dx;
    const y1 = y + dy;
    x = x1 + dx;
    y = y1 + dy;
    const both = levels(
      data,
      width,
      f64x2.replace_lane(f64x2.splat(x1), 1, x),
      f64x2.replace_lane(f64x2.splat(y1), 1, y),
      isLight,
    );
    sum += f64x2.extract_lane(both, 0);
    store<f64>(sums + (j << 3), sum);
    sum += f64x2.extract_lane(both, 1);
    store<f64>(sums + (j << 3), sum, 8);
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

/** The cosines of rays about a rim that is turned, behind which lie as many sines. */
function turned(rays: i32, thetaRad: f64): usize {
  for (let k = 0; k < mostTurns; k++) {
    const slot: usize = turns + k * turnBytes;
    if (load<f64>(slot) == <f64>rays && load<f64>(slot, 8) == thetaRad) return slot + 16;
  }
  let k = 0;
  while (k < mostTurns && load<f64>(turns + k * turnBytes) != <f64>rays) k++;
  if (k == mostTurns) {
    k = nextTurn;
    nextTurn = (nextTurn + 1) % mostTurns;
  }
  const slot: usize = turns + k * turnBytes;
  store<f64>(slot, <f64>rays);
  store<f64>(slot, thetaRad, 8);
  for (let i = 0; i < rays; i++) {
    const phi = (2 * Math.PI * <f64>i) / <f64>rays - thetaRad;
    store<f64>(slot + 16 + (i << 3), cos(phi));
    store<f64>(slot + 16 + ((mostRays + i) << 3), sin(phi));
  }
  return slot + 16;
}

/**
 * The edges on rays about a rim.
 * @param searchPx how far from the rim; `smearX`, `smearY` how far the picture is smeared
 * @returns how many rays lie in the picture; -1 where there is no room for so long ones
 */
export function rimEdges(
  data: usize,
  width: i32,
  height: i32,
  x: f64,
  y: f64,
  a: f64,
  b: f64,
  thetaRad: f64,
  rays: i32,
  searchPx: f64,
  smearX: f64,
  smearY: f64,
  minStep: f64,
): i32 {
  const widest = Math.max(2, Math.round(0.25 * b));
  const reach = Math.ceil(searchPx);
  if (!(2 * (reach + widest) + 5 <= <f64>mostSamples)) return -1;
  const cosT = cos(thetaRad);
  const sinT = sin(thetaRad);
  const directions = turned(rays, thetaRad);
  for (let i = 0; i < rays; i++) {
    const c = load<f64>(directions + (i << 3));
    const s = load<f64>(directions + ((mostRays + i) << 3));
    const ex = a * c;
    const ey = b * s;
    const gx = b * c;
    const gy = a * s;
    const norm = Math.sqrt(gx * gx + gy * gy);
    const dx = (cosT * gx - sinT * gy) / norm;
    const dy = (sinT * gx + cosT * gy) / norm;
    store<f64>(px + (i << 3), x + cosT * ex - sinT * ey);
    store<f64>(py + (i << 3), y + sinT * ex + cosT * ey);
    store<f64>(nx + (i << 3), dx);
    store<f64>(ny + (i << 3), dy);
    const smear = Math.abs(dx * smearX + dy * smearY);
    store<f64>(halves + (i << 3), Math.min(widest, Math.max(2, Math.round(0.6 * smear))));
  }
  return edgesOnRays(data, width, height, rays, <i32>reach, minStep);
}

/** The same about the rim of one of a view's bands, kept until all of them are gathered. @returns false where there is no room */
export function bandEdges(
  band: i32,
  data: usize,
  width: i32,
  height: i32,
  x: f64,
  y: f64,
  a: f64,
  b: f64,
  thetaRad: f64,
  searchPx: f64,
  smearX: f64,
  smearY: f64,
  minStep: f64,
): bool {
  if (band >= mostBands) return false;
  if (rimEdges(data, width, height, x, y, a, b, thetaRad, bandRays, searchPx, smearX, smearY, minStep) < 0)
    return false;
  const to: usize = bandsRoom + band * bandBytes;
  memory.copy(to, px, rayBytes);
  memory.copy(to + rayBytes, py, rayBytes);
  memory.copy(to + 2 * rayBytes, nx, rayBytes);
  memory.copy(to + 3 * rayBytes, ny, rayBytes);
  memory.copy(to + 4 * rayBytes, offset, 4 * rayBytes);
  memory.copy(to + 8 * rayBytes, step, 4 * rayBytes);
  return true;
}

/**
 * The edges of so many bands, ray by ray.
 * @param left, top the view's corner; `fullStep` from which an edge weighs 1
 * @returns how many there are
 */
export function gatherBands(bands: i32, left: f64, top: f64, fullStep: f64): i32 {
  let count = 0;
  store<i32>(firsts, 0);
  for (let ray = 0; ray < bandRays; ray++) {
    for (let band = 0; band < bands; band++) {
      const from: usize = bandsRoom + band * bandBytes + (ray << 3);
      const candidates: usize = bandsRoom + band * bandBytes + 4 * rayBytes + ((ray * candidatesPerRay) << 3);
      const x = load<f64>(from);
      const y = load<f64>(from + rayBytes);
      const dx = load<f64>(from + 2 * rayBytes);
      const dy = load<f64>(from + 3 * rayBytes);
      for (let k = 0; k < candidatesPerRay; k++) {
        const away = load<f64>(candidates + (k << 3));
        if (away != away) continue;
        store<f64>(xs + (count << 3), x + away * dx + left);
        store<f64>(ys + (count << 3), y + away * dy + top);
        const size = Math.abs(load<f64>(candidates + 4 * rayBytes + (k << 3)));
        store<f64>(weights + (count << 3), Math.min(1, size / fullStep));
        count++;
      }
    }
    store<i32>(firsts + ((ray + 1) << 2), count);
  }
  return count;
}

/** The edges on all rays. @returns how many rays lie in the picture */
function edgesOnRays(data: usize, width: i32, height: i32, rays: i32, reach: i32, minStep: f64): i32 {
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
