/**
 * Which curve of a disc's outline each edge of a view shows, as `matchEdges` of shared-lib/camera/disc-outline.ts finds it, two
 * distances at once in the same order, so that the result is the same to the bit.
 */
import { exp } from './engine';

export const rays: i32 = 72;
export const mostPoints: i32 = 1440;
export const mostCurves: i32 = 20;

/** Of a curve: five pairs of conics, each of six pairs of coefficients. */
export const pairBytes: i32 = 6 * 16;
export const curveBytes: i32 = 5 * pairBytes;
/** The pair that holds the curve itself, before which lie its changes by what moves every curve and behind which its own. */
export const itself: i32 = 3 * pairBytes;
export const own: i32 = 4 * pairBytes;

const leastLikely: f64 = 0.02;
const leastSidePx: f64 = 1.5;

export const xs = memory.data(1440 * 8, 16);
export const ys = memory.data(1440 * 8, 16);
export const weights = memory.data(1440 * 8, 16);
export const first = memory.data(73 * 4, 16);
export const table = memory.data(20 * 5 * 6 * 16, 16);
export const rayOf = memory.data(1440, 16);
// For each curve and ray: the likeliest point so far and how likely it is; for the near rim before the side, one row more.
const likeliest = memory.data(72 * 20 * 8, 16);
const pointAt = memory.data(72 * 20 * 4, 16);
const outlineIsFar = memory.data(72, 16);
const sideSeen = memory.data(72, 16);
const likeAt = memory.data(72 * 20 * 8, 16);
export const matchLike = memory.data(72 * 20 * 8, 16);
export const matchPoint = memory.data(72 * 20 * 4, 16);
export const matchCurve = memory.data(72 * 20, 16);
export const matchInner = memory.data(72 * 20, 16);

function coefficient(curve: usize, which: usize): v128 {
  return v128.load_splat<f64>(curve + itself + (which << 4));
}

/** Of the outline likeliest points lie in row 0, of the near rim before the side in row 1, of ring r in row r + 2. */
function consider(row: i32, ray: i32, k: i32, distance: f64, kernelPx: f64): bool {
  const at = row * rays + ray;
  const weight = load<f64>(weights + (k << 3));
  const most = load<f64>(likeliest + (at << 3));
  if (weight <= most) return false;
  const away = distance / kernelPx;
  const like = exp(-0.5 * (away * away));
  const likely = weight * like;
  if (!(likely > most)) return false;
  store<f64>(likeliest + (at << 3), likely);
  store<f64>(likeAt + (at << 3), like);
  store<i32>(pointAt + (at << 2), k);
  return true;
}

function matchOutline(points: i32, kernelPx: f64, reach: f64): void {
  const near = table;
  const far = table + curveBytes;
  for (let k = 0; k < points; k += 2) {
    const x = v128.load(xs + (k << 3));
    const y = v128.load(ys + (k << 3));
    const toNear = distances(near, x, y);
    const toFar = distances(far, x, y);
    const outside = f64x2.min(toNear, toFar);
    const isNear = f64x2.lt(f64x2.mul(outside, outside), f64x2.splat(reach));
    const isFace = f64x2.gt(toFar, f64x2.sub(toNear, f64x2.splat(leastSidePx)));
    if (!v128.any_true(isNear) && i64x2.all_true(isFace)) continue;
    for (let lane = 0; lane < 2 && k + lane < points; lane++) {
      const near1 = lane == 0 ? f64x2.extract_lane(toNear, 0) : f64x2.extract_lane(toNear, 1);
      const far1 = lane == 0 ? f64x2.extract_lane(toFar, 0) : f64x2.extract_lane(toFar, 1);
      const ray = <i32>load<u8>(rayOf + k + lane);
      const nearest = lane == 0 ? f64x2.extract_lane(outside, 0) : f64x2.extract_lane(outside, 1);
      if (nearest * nearest < reach && consider(0, ray, k + lane, nearest, kernelPx))
        store<u8>(outlineIsFar + ray, far1 < near1 ? 1 : 0);
      if (far1 > near1 - leastSidePx) continue;
      store<u8>(sideSeen + ray, 1);
      if (near1 * near1 < reach) consider(1, ray, k + lane, near1, kernelPx);
    }
  }
}

/** Distances of two points from a curve, as `distanceFrom` gives them. */
function distances(curve: usize, x: v128, y: v128): v128 {
  const d = coefficient(curve, 3);
  const e = coefficient(curve, 4);
  const b = coefficient(curve, 1);
  const gx = f64x2.add(f64x2.add(f64x2.mul(coefficient(curve, 0), x), f64x2.mul(b, y)), d);
  const gy = f64x2.add(f64x2.add(f64x2.mul(b, x), f64x2.mul(coefficient(curve, 2), y)), e);
  const level = levelOf(gx, gy, x, y, d, e, coefficient(curve, 5));
  return f64x2.div(level, slopeOf(gx, gy));
}

function levelOf(gx: v128, gy: v128, x: v128, y: v128, d: v128, e: v128, f: v128): v128 {
  const squares = f64x2.add(f64x2.mul(gx, x), f64x2.mul(gy, y));
  return f64x2.add(f64x2.add(f64x2.add(squares, f64x2.mul(d, x)), f64x2.mul(e, y)), f);
}
function slopeOf(gx: v128, gy: v128): v128 {
  return f64x2.mul(f64x2.splat(2), f64x2.sqrt(f64x2.add(f64x2.mul(gx, gx), f64x2.mul(gy, gy))));
}

function matchRing(ring: i32, points: i32, kernelPx: f64, reach: f64): void {
  const curve: usize = table + (ring + 2) * curveBytes;
  const a = coefficient(curve, 0);
  const b = coefficient(curve, 1);
  const c = coefficient(curve, 2);
  const d = coefficient(curve, 3);
  const e = coefficient(curve, 4);
  const f = coefficient(curve, 5);
  // Most points lie far from it, which shows without a root; those within are looked at exactly.
  const within = f64x2.splat(4.0001 * reach);
  for (let k = 0; k < points; k += 2) {
    const x = v128.load(xs + (k << 3));
    const y = v128.load(ys + (k << 3));
    const gx = f64x2.add(f64x2.add(f64x2.mul(a, x), f64x2.mul(b, y)), d);
    const gy = f64x2.add(f64x2.add(f64x2.mul(b, x), f64x2.mul(c, y)), e);
    const level = levelOf(gx, gy, x, y, d, e, f);
    const squares = f64x2.add(f64x2.mul(gx, gx), f64x2.mul(gy, gy));
    if (!v128.any_true(f64x2.lt(f64x2.mul(level, level), f64x2.mul(within, squares)))) continue;
    const away = f64x2.div(level, slopeOf(gx, gy));
    const away0 = f64x2.extract_lane(away, 0);
    if (away0 * away0 < reach) consider(ring + 2, <i32>load<u8>(rayOf + k), k, away0, kernelPx);
    const away1 = f64x2.extract_lane(away, 1);
    if (away1 * away1 < reach && k + 1 < points)
      consider(ring + 2, <i32>load<u8>(rayOf + k + 1), k + 1, away1, kernelPx);
  }
}

/** The matches in the order of `matchEdges`. @returns how many */
export function match(points: i32, rings: i32, kernelPx: f64): i32 {
  for (let ray = 0; ray < rays; ray++) {
    const from = load<i32>(first + (ray << 2));
    memory.fill(rayOf + from, <u8>ray, load<i32>(first + (ray << 2), 4) - from);
  }
  const rows = rings + 2;
  for (let at = 0; at < rows * rays; at++) store<f64>(likeliest + (at << 3), leastLikely);
  memory.fill(pointAt, 0xff, rows * rays * 4);
  memory.fill(outlineIsFar, 0, rays);
  memory.fill(sideSeen, 0, rays);
  const reach = 2.8 * kernelPx * (2.8 * kernelPx);
  matchOutline(points, kernelPx, reach);
  for (let r = 0; r < rings; r++) matchRing(r, points, kernelPx, reach);
  let count = 0;
  for (let ray = 0; ray < rays; ray++) {
    const begin = count;
    put(count++, ray, load<u8>(outlineIsFar + ray), 0, load<i32>(pointAt + (ray << 2)));
    if (load<u8>(sideSeen + ray)) putUntaken(begin, count++, rays + ray, 0);
    for (let r = 2; r < rows; r++) putUntaken(begin, count++, r * rays + ray, <u8>r);
  }
  return count;
}

/** @param from where the point and how alike it is to the curve were kept */
function put(to: i32, from: i32, curve: u8, isInner: u8, point: i32): void {
  store<i32>(matchPoint + (to << 2), point);
  store<u8>(matchCurve + to, curve);
  store<u8>(matchInner + to, isInner);
  store<f64>(matchLike + (to << 3), load<f64>(likeAt + (from << 3)));
}

/** A point is evidence for one curve only. */
function putUntaken(begin: i32, to: i32, from: i32, curve: u8): void {
  const point = load<i32>(pointAt + (from << 2));
  let free = point;
  for (let m = begin; m < to; m++) if (load<i32>(matchPoint + (m << 2)) == point) free = -1;
  put(to, from, curve, 1, free);
}

/** Distances of one point from a pair of conics. */
export function pairOf(at: usize, x: v128, y: v128): v128 {
  const b = v128.load(at + 16);
  const d = v128.load(at + 48);
  const e = v128.load(at + 64);
  const gx = f64x2.add(f64x2.add(f64x2.mul(v128.load(at), x), f64x2.mul(b, y)), d);
  const gy = f64x2.add(f64x2.add(f64x2.mul(b, x), f64x2.mul(v128.load(at + 32), y)), e);
  return f64x2.div(levelOf(gx, gy, x, y, d, e, v128.load(at + 80)), slopeOf(gx, gy));
}
