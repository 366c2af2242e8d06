/**
 * Finding a patch again, as `registerPatch` of shared-lib/picture/patch-registration.ts does, with two lanes of SIMD.
 * Compiled by AssemblyScript to dist/kernels.wasm; the plain version is its test. All values that cross are in memory at
 * the addresses that the exported functions tell; nothing is ever allocated.
 */
const patchSize: i32 = 15;
const area: i32 = patchSize * patchSize;
const half: i32 = (patchSize - 1) / 2;
const searchRange: i32 = 4;
const windowSize: i32 = patchSize + 3 + 2 * searchRange;
const settledStep: f64 = 0.01;

/** The largest piece of a picture that is copied here: 4 x 4 pixels for each of the window's and half of one round it. */
const mostRaw: i32 = (windowSize + 1) * 4;

// Sums over 225 values run in pairs; the last stands alone, so that arrays are one longer than they need be.
const raw = memory.data(mostRaw * mostRaw, 16);
const rows = memory.data(mostRaw * windowSize * 4, 16);
const window = memory.data(windowSize * windowSize * 8, 16);
const sampledRows = memory.data((area + 3 * patchSize + 1) * 8, 16);
const sample = memory.data((area + 1) * 8, 16);
/** Patches that stay here from one picture to the next: as many as two anchors have marks. Of each its `unit`, `gx` and `gy`. */
const mostPatches: i32 = 256;
const columnBytes: i32 = (area + 1) * 8;
const patches = memory.data(256 * 3 * (area + 1) * 8, 16);
const out = memory.data(4 * 8, 16);

export function rawAt(): usize {
  return raw;
}
export function windowAt(): usize {
  return window;
}
/** Where a patch's values are: `unit`, `gx` and `gy`, 225 doubles each and room for one, which stays 0. */
export function patchAt(slot: i32): usize {
  return patches + slot * 3 * columnBytes;
}
export function mostPatchesHeld(): i32 {
  return mostPatches;
}
/** Where `register` puts x, y (upper left corner in the window), the correlation and the noise. */
export function outAt(): usize {
  return out;
}

/** Where memory is free for whole pictures, for as many bytes as the memory is grown by. */
export function picturesAt(): usize {
  return (__heap_base + 15) & ~15;
}

/**
 * The window from a picture, made smaller by 1, 2 or 4. Exact: sums of whole numbers.
 * @param from address of the first pixel that the window is made of; `stride` from one line to the next
 */
export function reduce(factor: i32, from: usize, stride: i32): void {
  if (factor == 1) {
    for (let r = 0, k = 0; r < windowSize; r++)
      for (let c = 0; c < windowSize; c++, k++)
        store<f64>(window + (k << 3), <f64>load<u8>(from + r * stride + c));
  } else if (factor == 2) {
    halve(from, stride);
  } else {
    quarter(from, stride);
  }
}

/** Of rows that were halved across: whole numbers of 16 bits, so many bytes from one to the next. */
const halvedPitch: i32 = 64;

/** Weights 1 3 3 1 across and down, eight columns at once; the last eight of the 26 begin where others end already. */
function halve(from: usize, stride: i32): void {
  const width = 2 * windowSize + 2;
  const even = i16x8.splat(0xff);
  const three = i16x8.splat(3);
  for (let r = 0; r < width; r++) {
    const line = from + r * stride;
    const to: usize = rows + r * halvedPitch;
    for (let c = 0; c < windowSize; c += 8) {
      const first = min(c, windowSize - 8);
      const left = v128.load(line + 2 * first);
      const right = v128.load(line + 2 * first, 2);
      const outer = i16x8.add(v128.and(left, even), i16x8.shr_u(right, 8));
      const inner = i16x8.add(i16x8.shr_u(left, 8), v128.and(right, even));
      v128.store(to + 2 * first, i16x8.add(outer, i16x8.mul(inner, three)));
    }
  }
  const share = f64x2.splat(1.0 / 64.0);
  for (let r = 0; r < windowSize; r++) {
    for (let c = 0; c < windowSize; c += 8) {
      const first = min(c, windowSize - 8);
      const at = rows + 2 * r * halvedPitch + 2 * first;
      const outer = i16x8.add(v128.load(at), v128.load(at + 3 * halvedPitch));
      const inner = i16x8.add(v128.load(at + halvedPitch), v128.load(at + 2 * halvedPitch));
      const sum = i16x8.add(outer, i16x8.mul(inner, three));
      const to: usize = window + ((r * windowSize + first) << 3);
      const low = i32x4.extend_low_i16x8_u(sum);
      const high = i32x4.extend_high_i16x8_u(sum);
      v128.store(to, f64x2.mul(f64x2.convert_low_i32x4_s(low), share));
      v128.store(to, f64x2.mul(f64x2.convert_low_i32x4_s(upper(low)), share), 16);
      v128.store(to, f64x2.mul(f64x2.convert_low_i32x4_s(high), share), 32);
      v128.store(to, f64x2.mul(f64x2.convert_low_i32x4_s(upper(high)), share), 48);
    }
  }
}

/** The upper two of four numbers in the place of the lower two. */
function upper(four: v128): v128 {
  return v128.shuffle<i64>(four, four, 1, 1);
}

/** Weights 1 3 5 7 7 5 3 1 across and down. */
function quarter(from: usize, stride: i32): void {
  const width = 4 * (windowSize + 1);
  for (let r = 0; r < width; r++) {
    const line = from + r * stride;
    const to = rows + ((r * windowSize) << 2);
    for (let c = 0; c < windowSize; c++) {
      const at = line + 4 * c;
      const sum: i32 =
        <i32>load<u8>(at) +
        <i32>load<u8>(at, 7) +
        3 * (<i32>load<u8>(at, 1) + <i32>load<u8>(at, 6)) +
        5 * (<i32>load<u8>(at, 2) + <i32>load<u8>(at, 5)) +
        7 * (<i32>load<u8>(at, 3) + <i32>load<u8>(at, 4));
      store<i32>(to + (c << 2), sum);
    }
  }
  const pitch = windowSize << 2;
  for (let r = 0; r < windowSize; r++) {
    let at = rows + 4 * r * pitch;
    let to = window + ((r * windowSize) << 3);
    for (let c = 0; c < windowSize; c += 2, at += 8, to += 16) {
      let sum = i32x4.add(v128.load64_zero(at), v128.load64_zero(at + 7 * pitch));
      sum = i32x4.add(sum, thrice(at + pitch, at + 6 * pitch, 3));
      sum = i32x4.add(sum, thrice(at + 2 * pitch, at + 5 * pitch, 5));
      sum = i32x4.add(sum, thrice(at + 3 * pitch, at + 4 * pitch, 7));
      v128.store(to, f64x2.mul(f64x2.convert_low_i32x4_s(sum), f64x2.splat(1.0 / 1024.0)));
    }
  }
}

function thrice(one: usize, other: usize, weight: i32): v128 {
  return i32x4.mul(i32x4.add(v128.load64_zero(one), v128.load64_zero(other)), i32x4.splat(weight));
}

/** Cubic convolution (a = -1/2): rows first, then columns. */
function sampleCubic(x: f64, y: f64): void {
  const ix = <i32>Math.floor(x);
  const iy = <i32>Math.floor(y);
  const f = x - <f64>ix;
  const g = 1 - f;
  const a0 = f64x2.splat(-0.5 * f * g * g);
  const a1 = f64x2.splat(1 + f * f * (1.5 * f - 2.5));
  const a2 = f64x2.splat(1 + g * g * (1.5 * g - 2.5));
  const a3 = f64x2.splat(-0.5 * g * f * f);
  for (let r = 0; r < patchSize + 3; r++) {
    let at = window + (((iy - 1 + r) * windowSize + ix - 1) << 3);
    let to = sampledRows + ((r * patchSize) << 3);
    // The sixteenth value of a row is written over by the next row's first.
    for (let c = 0; c < patchSize; c += 2, at += 16, to += 16) {
      const left = f64x2.add(f64x2.mul(a0, v128.load(at)), f64x2.mul(a1, v128.load(at, 8)));
      const right = f64x2.add(f64x2.mul(a2, v128.load(at, 16)), f64x2.mul(a3, v128.load(at, 24)));
      v128.store(to, f64x2.add(left, right));
    }
  }
  const u = y - <f64>iy;
  const v = 1 - u;
  const b0 = f64x2.splat(-0.5 * u * v * v);
  const b1 = f64x2.splat(1 + u * u * (1.5 * u - 2.5));
  const b2 = f64x2.splat(1 + v * v * (1.5 * v - 2.5));
  const b3 = f64x2.splat(-0.5 * v * u * u);
  const pitch = patchSize << 3;
  let at = sampledRows;
  let to = sample;
  for (let k = 0; k < area; k += 2, at += 16, to += 16) {
    const upper = f64x2.add(f64x2.mul(b0, v128.load(at)), f64x2.mul(b1, v128.load(at + pitch)));
    const lower = f64x2.add(
      f64x2.mul(b2, v128.load(at + 2 * pitch)),
      f64x2.mul(b3, v128.load(at + 3 * pitch)),
    );
    v128.store(to, f64x2.add(upper, lower));
  }
  store<f64>(sample + (area << 3), 0);
}

function total(pair: v128): f64 {
  return f64x2.extract_lane(pair, 0) + f64x2.extract_lane(pair, 1);
}

/**
 * Gauss-Newton from (x, y), the upper left corner of the patch in the window.
 * @param unit where the patch's values are
 * @returns 1 where it settled in range, 0 where it left it or nothing there resembles the patch
 */
export function register(unit: usize, x: f64, y: f64, norm: f64, inv0: f64, inv1: f64, inv2: f64): i32 {
  const gx: usize = unit + columnBytes;
  const gy: usize = gx + columnBytes;
  const far = 1 + 2 * <f64>searchRange;
  let correlation: f64 = 0;
  let noise: f64 = 0;
  for (let iteration = 0; iteration < 10; iteration++) {
    if (!(x >= 1 && y >= 1 && x < far && y < far)) return 0;
    sampleCubic(x, y);
    let sums = f64x2.splat(0);
    let squares = f64x2.splat(0);
    let alongs = f64x2.splat(0);
    let ixs = f64x2.splat(0);
    let iys = f64x2.splat(0);
    for (let k: usize = 0; k < <usize>((area + 1) << 3); k += 16) {
      const v = v128.load(sample + k);
      sums = f64x2.add(sums, v);
      squares = f64x2.add(squares, f64x2.mul(v, v));
      alongs = f64x2.add(alongs, f64x2.mul(v, v128.load(unit + k)));
      ixs = f64x2.add(ixs, f64x2.mul(v, v128.load(gx + k)));
      iys = f64x2.add(iys, f64x2.mul(v, v128.load(gy + k)));
    }
    const along = total(alongs);
    const ix = total(ixs);
    const iy = total(iys);
    const gain = along / norm;
    if (!(gain > 0.05)) return 0;
    const sum = total(sums);
    const spread = total(squares) - (sum * sum) / <f64>area;
    correlation = along / Math.sqrt(spread);
    const dx = (inv0 * ix + inv1 * iy) / gain;
    const dy = (inv1 * ix + inv2 * iy) / gain;
    const explained = along * along + gain * (dx * ix + dy * iy);
    noise = Math.sqrt(Math.max(0, spread - explained) / <f64>(area - 4)) / gain;
    x -= dx;
    y -= dy;
    if (dx * dx + dy * dy < settledStep * settledStep) break;
  }
  store<f64>(out, x);
  store<f64>(out, y, 8);
  store<f64>(out, correlation, 16);
  store<f64>(out, noise, 24);
  return 1;
}
