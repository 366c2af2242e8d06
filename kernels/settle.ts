/**
 * What the edges of one view pull a disc by whose pose is known, as `pullsOnCentre` and `pullsOnShape` of
 * shared-lib/camera/settle-pulls.ts take it, two distances at once in the same order, so that the result is the same to the bit.
 * Compiled by AssemblyScript to dist/kernels.wasm; the plain version is its test.
 */
import {
  curveBytes,
  itself,
  match,
  matchCurve,
  matchInner,
  matchLike,
  matchPoint,
  pairBytes,
  pairOf,
  rayOf,
  rays,
  table,
  weights,
  xs,
  ys,
} from './matches';

const sectors: i32 = 8;
const ofSector: f64 = 8.0 / 72.0;
const background: f64 = 0.05;

/** Of the centre: products, moments, squares, weights, rays that show the outline, and eighths; of the shape: five rows of six, then its moments. */
const pulls = memory.data(5 * 6 * 8 + 5 * 8, 16);
const shownIn: usize = pulls + 8 * 8;
const moments: usize = pulls + 5 * 6 * 8;

export function settlePullsAt(): usize {
  return pulls;
}

function plus(at: usize, what: f64): void {
  store<f64>(at, load<f64>(at) + what);
}

/** How the distance of a point from its curve changes with the centre. */
function changeOf(conics: usize, x: v128, y: v128, here: v128, nudgePx: f64): v128 {
  return f64x2.div(f64x2.sub(pairOf(conics + 2 * pairBytes, x, y), here), f64x2.splat(nudgePx));
}

function weightOf(m: i32, point: i32): f64 {
  const like = load<f64>(matchLike + (m << 3));
  return (load<f64>(weights + (point << 3)) * like) / (like + background);
}

export function settleCentre(points: i32, rings: i32, kernelPx: f64, nudgePx: f64): void {
  const count = match(points, rings, kernelPx);
  memory.fill(shownIn, 0, sectors * 8);
  let xx: f64 = 0;
  let xy: f64 = 0;
  let yy: f64 = 0;
  let bx: f64 = 0;
  let by: f64 = 0;
  let squares: f64 = 0;
  let sum: f64 = 0;
  let shown: f64 = 0;
  for (let m = 0; m < count; m++) {
    const point = load<i32>(matchPoint + (m << 2));
    if (point < 0) continue;
    const conics: usize = table + <i32>load<u8>(matchCurve + m) * curveBytes;
    const x = v128.load_splat<f64>(xs + (point << 3));
    const y = v128.load_splat<f64>(ys + (point << 3));
    const here = pairOf(conics + itself, x, y);
    const change = changeOf(conics, x, y, here, nudgePx);
    const residual = f64x2.extract_lane(here, 0);
    const gx = f64x2.extract_lane(change, 0);
    const gy = f64x2.extract_lane(change, 1);
    const weight = weightOf(m, point);
    const wx = weight * gx;
    const wy = weight * gy;
    xx += wx * gx;
    xy += wx * gy;
    yy += wy * gy;
    bx -= wx * residual;
    by -= wy * residual;
    squares += weight * residual * residual;
    sum += weight;
    if (!load<u8>(matchInner + m)) shown++;
    const sector = (<i32>load<u8>(rayOf + point) * sectors) / rays;
    plus(
      shownIn + (sector << 3),
      ofSector * load<f64>(weights + (point << 3)) * load<f64>(matchLike + (m << 3)),
    );
  }
  store<f64>(pulls, xx);
  store<f64>(pulls, xy, 8);
  store<f64>(pulls, yy, 16);
  store<f64>(pulls, bx, 24);
  store<f64>(pulls, by, 32);
  store<f64>(pulls, squares, 40);
  store<f64>(pulls, sum, 48);
  store<f64>(pulls, shown, 56);
}

/** One row of the shape's products. */
function addRow(row: i32, by: f64, residual: f64, r0: v128, r1: v128, r2: v128): void {
  const at: usize = pulls + row * 48;
  const all = f64x2.splat(by);
  v128.store(at, f64x2.add(v128.load(at), f64x2.mul(all, r0)));
  v128.store(at, f64x2.add(v128.load(at, 16), f64x2.mul(all, r1)), 16);
  v128.store(at, f64x2.add(v128.load(at, 32), f64x2.mul(all, r2)), 32);
  plus(moments + (row << 3), -(by * residual));
}

/** @param centreX, centreY about which the disc is drawn out of shape */
export function settleShape(
  points: i32,
  rings: i32,
  kernelPx: f64,
  nudgePx: f64,
  centreX: f64,
  centreY: f64,
): void {
  const count = match(points, rings, kernelPx);
  memory.fill(pulls, 0, 5 * 6 * 8 + 5 * 8);
  for (let m = 0; m < count; m++) {
    const point = load<i32>(matchPoint + (m << 2));
    if (point < 0) continue;
    const conics: usize = table + <i32>load<u8>(matchCurve + m) * curveBytes;
    const x = v128.load_splat<f64>(xs + (point << 3));
    const y = v128.load_splat<f64>(ys + (point << 3));
    const here = pairOf(conics + itself, x, y);
    const change = changeOf(conics, x, y, here, nudgePx);
    const residual = f64x2.extract_lane(here, 0);
    const gx = f64x2.extract_lane(change, 0);
    const gy = f64x2.extract_lane(change, 1);
    const weight = weightOf(m, point);
    const dx = f64x2.extract_lane(x, 0) - centreX;
    const dy = f64x2.extract_lane(y, 0) - centreY;
    const growth = gx * dx + gy * dy;
    const stretch = gy * dy;
    const shear = gy * dx;
    const r1 = f64x2.replace_lane(f64x2.splat(growth), 1, stretch);
    const r2 = f64x2.replace_lane(f64x2.splat(shear), 1, 0);
    addRow(0, weight * gx, residual, change, r1, r2);
    addRow(1, weight * gy, residual, change, r1, r2);
    addRow(2, weight * growth, residual, change, r1, r2);
    addRow(3, weight * stretch, residual, change, r1, r2);
    addRow(4, weight * shear, residual, change, r1, r2);
  }
}
