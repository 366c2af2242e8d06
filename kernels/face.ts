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

function pair(a: f64, b: f64): v128 {
  return f64x2.replace_lane(f64x2.splat(a), 1, b);
}

function add(at: usize, what: v128): void {
  v128.store(at, f64x2.add(v128.load(at), what));
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
  const last: f64 = <f64>width - 1.001;
  let inliers: f64 = 0;
  let sumR2: f64 = 0;
  let sumW: f64 = 0;
  for (let i = 0; i < n; i++) {
    const at = i << 2;
    const du = <f64>load<f32>(u + at);
    const dv = <f64>load<f32>(v + at);
    let x = ox + mxu * du + mxv * dv;
    let y = oy + myu * du + myv * dv;
    x = x < 0 ? 0 : x > last ? last : x;
    y = y < 0 ? 0 : y > last ? last : y;
    const xi = x == x ? <i32>x : 0;
    const yi = y == y ? <i32>y : 0;
    const fx = x - <f64>xi;
    const pixel = crop + yi * width + xi;
    const nw = <f64>load<u8>(pixel);
    const sw = <f64>load<u8>(pixel + width);
    const top = nw + fx * (<f64>load<u8>(pixel, 1) - nw);
    const value = top + (y - <f64>yi) * (sw + fx * (<f64>load<u8>(pixel + width, 1) - sw) - top);
    store<f64>(seen + (i << 3), value);
    const g = <f64>load<f32>(grey + at);
    const r = value - (gain * g + offset);
    const k = r * gate;
    if (k > 1 || k < -1) continue;
    const w = (1 - k * k) * (1 - k * k);
    inliers++;
    const j0 = gain * <f64>load<f32>(gu + at);
    const j1 = gain * <f64>load<f32>(gv + at);
    const j2 = j1 * du - j0 * dv;
    const w0 = w * j0;
    const w1 = w * j1;
    const w2 = w * j2;
    const wg = w * g;
    const to = sums + ((<i32>load<u8>(sector + i) * sumsPerSector) << 3);
    const turned = pair(j2, g);
    add(to, f64x2.mul(f64x2.splat(w0), pair(j0, j1)));
    add(to + 16, f64x2.mul(f64x2.splat(w0), turned));
    add(to + 32, pair(w0, w1 * j1));
    add(to + 48, f64x2.mul(f64x2.splat(w1), turned));
    add(to + 64, pair(w1, w2 * j2));
    add(to + 80, pair(w2 * g, w2));
    add(to + 96, pair(wg * g, wg));
    add(to + 112, pair(w, w0 * r));
    add(to + 128, f64x2.mul(pair(w1, w2), f64x2.splat(r)));
    add(to + 144, f64x2.mul(pair(wg, w), f64x2.splat(r)));
    sumR2 += w * r * r;
    sumW += w;
  }
  store<f64>(totals, inliers);
  store<f64>(totals, sumR2, 8);
  store<f64>(totals, sumW, 16);
}
