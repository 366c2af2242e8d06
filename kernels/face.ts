/**
 * Registration of a disc's face, as `registerFace` of shared-lib/picture/face-registration.ts does it: the sums over the face's
 * points, two at once in the same order, so that the result is the same to the bit. Compiled by AssemblyScript to
 * dist/kernels.wasm; the plain version is its test.
 */
const mostPoints: i32 = 8192;
const mostCropBytes: i32 = 65536;
const sectors: i32 = 12;
const sumsPerSector: i32 = 20;

// The points' u, v, grey level and gradients; their sectors; the picture's piece; what is seen at each point; the sums.
const u = memory.data(5 * 8192 * 4, 16);
const v: usize = u + (mostPoints << 2);
const grey: usize = v + (mostPoints << 2);
const gu: usize = grey + (mostPoints << 2);
const gv: usize = gu + (mostPoints << 2);
const sector = memory.data(8192, 16);
const crop = memory.data(65536, 16);
const seen = memory.data(8192 * 8, 16);
const sums = memory.data((12 * 20 + 3) * 8, 16);
const totals: usize = sums + ((sectors * sumsPerSector) << 3);

export function facePointsAt(): usize {
  return u;
}
export function faceSectorAt(): usize {
  return sector;
}
export function faceCropAt(): usize {
  return crop;
}
/** 20 sums a sector, then the number of points that agree, the weighted squares and the weights. */
export function faceSumsAt(): usize {
  return sums;
}
export function faceSeenAt(): usize {
  return seen;
}
export function mostFacePoints(): i32 {
  return mostPoints;
}
export function mostFaceCropBytes(): i32 {
  return mostCropBytes;
}

function add(at: usize, what: v128): void {
  v128.store(at, f64x2.add(v128.load(at), what));
}

/** Two points' u, v, grey level or gradient. */
function two(column: usize, i: i32): v128 {
  return f64x2.promote_low_f32x4(v128.load64_zero(column + (i << 2)));
}

/** The pixel about a place that two bytes of `rows` hold, of two points. */
function pixel(rows: v128, shift: i32): v128 {
  return f64x2.convert_low_i32x4_s(v128.and(i32x4.shr_u(rows, shift), i32x4.splat(0xff)));
}

/** Whole numbers below 2^31 show in the lower half of their sum with this. */
const whole: f64 = 4503599627370496;
/** Of a piece's side; what is no number lies at its corner. */
const mostSide: i32 = 0x1ff;

/** Four pixels about the place with these whole coordinates: two of its line and two of the next. */
function about(x: i32, y: i32, width: i32): i32 {
  const at = crop + (y & mostSide) * width + (x & mostSide);
  return (<i32>load<u16>(at)) | ((<i32>load<u16>(at + width)) << 16);
}

/** One pass over n points of a face whose axes in the piece, `width` pixels wide, begin at (ox, oy). */
export function facePass(
  n: i32,
  width: i32,
  ox: f64,
  oy: f64,
  mxu: f64,
  mxv: f64,
  myu: f64,
  myv: f64,
  gain: f64,
  offset: f64,
  gate: f64,
): void {
  memory.fill(sums, 0, (sectors * sumsPerSector) << 3);
  const zero = f64x2.splat(0);
  const one = f64x2.splat(1);
  const last = f64x2.splat(<f64>width - 1.001);
  const gains = f64x2.splat(gain);
  let inliers: f64 = 0;
  let sumR2: f64 = 0;
  let sumW: f64 = 0;
  for (let i = 0; i < n; i += 2) {
    const du = two(u, i);
    const dv = two(v, i);
    let x = f64x2.add(f64x2.splat(ox), f64x2.mul(f64x2.splat(mxu), du));
    let y = f64x2.add(f64x2.splat(oy), f64x2.mul(f64x2.splat(myu), du));
    x = f64x2.add(x, f64x2.mul(f64x2.splat(mxv), dv));
    y = f64x2.add(y, f64x2.mul(f64x2.splat(myv), dv));
    x = f64x2.pmin(f64x2.pmax(x, zero), last);
    y = f64x2.pmin(f64x2.pmax(y, zero), last);
    const xi = f64x2.trunc(x);
    const yi = f64x2.trunc(y);
    const fx = f64x2.sub(x, xi);
    const atX = f64x2.add(xi, f64x2.splat(whole));
    const atY = f64x2.add(yi, f64x2.splat(whole));
    const rows = i32x4.replace_lane(
      i32x4.splat(about(i32x4.extract_lane(atX, 0), i32x4.extract_lane(atY, 0), width)),
      1,
      about(i32x4.extract_lane(atX, 2), i32x4.extract_lane(atY, 2), width),
    );
    const nw = pixel(rows, 0);
    const sw = pixel(rows, 16);
    const top = f64x2.add(nw, f64x2.mul(fx, f64x2.sub(pixel(rows, 8), nw)));
    const bottom = f64x2.add(sw, f64x2.mul(fx, f64x2.sub(pixel(rows, 24), sw)));
    const value = f64x2.add(top, f64x2.mul(f64x2.sub(y, yi), f64x2.sub(bottom, top)));
    v128.store(seen + (i << 3), value);
    const g = two(grey, i);
    const r = f64x2.sub(value, f64x2.add(f64x2.mul(gains, g), f64x2.splat(offset)));
    const k = f64x2.mul(r, f64x2.splat(gate));
    const k0 = f64x2.extract_lane(k, 0);
    const k1 = f64x2.extract_lane(k, 1);
    const isFirst = !(k0 > 1 || k0 < -1);
    const isSecond = i + 1 < n && !(k1 > 1 || k1 < -1);
    if (!isFirst && !isSecond) continue;
    const near = f64x2.sub(one, f64x2.mul(k, k));
    const w = f64x2.mul(near, near);
    const j0 = f64x2.mul(gains, two(gu, i));
    const j1 = f64x2.mul(gains, two(gv, i));
    const j2 = f64x2.sub(f64x2.mul(j1, du), f64x2.mul(j0, dv));
    const w0 = f64x2.mul(w, j0);
    const w1 = f64x2.mul(w, j1);
    const w2 = f64x2.mul(w, j2);
    const wg = f64x2.mul(w, g);
    const wr = f64x2.mul(w, r);
    const wrr = f64x2.mul(wr, r);
    const s0 = f64x2.mul(w0, j0);
    const s1 = f64x2.mul(w0, j1);
    const s2 = f64x2.mul(w0, j2);
    const s3 = f64x2.mul(w0, g);
    const s5 = f64x2.mul(w1, j1);
    const s6 = f64x2.mul(w1, j2);
    const s7 = f64x2.mul(w1, g);
    const s9 = f64x2.mul(w2, j2);
    const s10 = f64x2.mul(w2, g);
    const s12 = f64x2.mul(wg, g);
    const s15 = f64x2.mul(w0, r);
    const s16 = f64x2.mul(w1, r);
    const s17 = f64x2.mul(w2, r);
    const s18 = f64x2.mul(wg, r);
    if (isFirst) {
      const to = sums + ((<i32>load<u8>(sector + i) * sumsPerSector) << 3);
      add(to, v128.shuffle<f64>(s0, s1, 0, 2));
      add(to + 16, v128.shuffle<f64>(s2, s3, 0, 2));
      add(to + 32, v128.shuffle<f64>(w0, s5, 0, 2));
      add(to + 48, v128.shuffle<f64>(s6, s7, 0, 2));
      add(to + 64, v128.shuffle<f64>(w1, s9, 0, 2));
      add(to + 80, v128.shuffle<f64>(s10, w2, 0, 2));
      add(to + 96, v128.shuffle<f64>(s12, wg, 0, 2));
      add(to + 112, v128.shuffle<f64>(w, s15, 0, 2));
      add(to + 128, v128.shuffle<f64>(s16, s17, 0, 2));
      add(to + 144, v128.shuffle<f64>(s18, wr, 0, 2));
      inliers++;
      sumR2 += f64x2.extract_lane(wrr, 0);
      sumW += f64x2.extract_lane(w, 0);
    }
    if (isSecond) {
      const to = sums + ((<i32>load<u8>(sector + i, 1) * sumsPerSector) << 3);
      add(to, v128.shuffle<f64>(s0, s1, 1, 3));
      add(to + 16, v128.shuffle<f64>(s2, s3, 1, 3));
      add(to + 32, v128.shuffle<f64>(w0, s5, 1, 3));
      add(to + 48, v128.shuffle<f64>(s6, s7, 1, 3));
      add(to + 64, v128.shuffle<f64>(w1, s9, 1, 3));
      add(to + 80, v128.shuffle<f64>(s10, w2, 1, 3));
      add(to + 96, v128.shuffle<f64>(s12, wg, 1, 3));
      add(to + 112, v128.shuffle<f64>(w, s15, 1, 3));
      add(to + 128, v128.shuffle<f64>(s16, s17, 1, 3));
      add(to + 144, v128.shuffle<f64>(s18, wr, 1, 3));
      inliers++;
      sumR2 += f64x2.extract_lane(wrr, 1);
      sumW += f64x2.extract_lane(w, 1);
    }
  }
  store<f64>(totals, inliers);
  store<f64>(totals, sumR2, 8);
  store<f64>(totals, sumW, 16);
}
