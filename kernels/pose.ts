/**
 * The sums over one view's edges that a step of fitting the camera's pose needs, as `viewSums` of
 * shared-lib/camera/view-sums.ts takes them, two distances at once in the same order, so that the result is the same to the
 * bit. Compiled by AssemblyScript to dist/kernels.wasm; the plain version is its test.
 */
import { log } from './engine';
import {
  curveBytes,
  first,
  itself,
  match,
  matchCurve,
  matchInner,
  matchLike,
  matchPoint,
  mostCurves,
  mostPoints,
  own,
  pairBytes,
  pairOf,
  table,
  weights,
  xs,
  ys,
} from './matches';

/** Sums of what moves every curve, in six rows of eight; of a curve's own, two rows of eight, and products among themselves: of both with the first, then of each with itself. */
const commonBytes: i32 = 6 * 8 * 8;
const ownBytes: i32 = 20 * 8;

const background: f64 = 0.05;
const outlineShare: f64 = 0.8;
const innerShare: f64 = 0.3;

/** The steps by which the conics were changed, in their order. */
const steps = memory.data(10 * 8, 16);
const sums = memory.data(6 * 8 * 8 + 20 * 20 * 8 + 2 * 8, 16);
const totals: usize = sums + commonBytes + mostCurves * ownBytes;

export function poseEdgesAt(): usize {
  return xs;
}
export function poseRaysAt(): usize {
  return first;
}
export function poseCurvesAt(): usize {
  return table;
}
export function poseStepsAt(): usize {
  return steps;
}
export function poseSumsAt(): usize {
  return sums;
}
export function mostPosePoints(): i32 {
  return mostPoints;
}
export function mostPoseCurves(): i32 {
  return mostCurves;
}

function add(at: usize, what: v128): void {
  v128.store(at, f64x2.add(v128.load(at), what));
}

function one(pair: v128): v128 {
  return f64x2.splat(f64x2.extract_lane(pair, 0));
}
function other(pair: v128): v128 {
  return f64x2.splat(f64x2.extract_lane(pair, 1));
}

/** Adds products to the last three pairs of a row of sums. */
function addLast(row: usize, by: v128, d1: v128, d2: v128, d3: v128): void {
  add(row + 16, f64x2.mul(by, d1));
  add(row + 32, f64x2.mul(by, d2));
  add(row + 48, f64x2.mul(by, d3));
}

/** The same of what moves its own curve alone: products round as in the order of the parameters. */
function addOwn(at: usize, its: v128, weighted: v128, w0: v128, w1: v128, d2: v128, d3: v128): void {
  add(at, f64x2.mul(w0, its));
  add(at + 16, f64x2.mul(w1, its));
  add(at + 32, f64x2.mul(weighted, d2));
  add(at + 48, f64x2.mul(weighted, d3));
}

/**
 * @param peak of the likelihood of an edge on its curve, against one anywhere along its ray
 * @param isFine whether edges weigh by how surely they are their curve's
 * @param isScored whether the likelihood is asked
 */
export function poseSums(
  points: i32,
  rings: i32,
  kernelPx: f64,
  peak: f64,
  isFine: bool,
  isScored: bool,
): void {
  memory.fill(sums, 0, commonBytes + (rings + 2) * ownBytes);
  const count = match(points, rings, kernelPx);
  const s0 = v128.load(steps);
  const s1 = v128.load(steps + 16);
  const s2 = v128.load(steps + 32);
  const ownSteps = v128.load(steps + 64);
  const farSteps = v128.load(steps + 48);
  const innerMissing = log(1 - innerShare);
  const outlineMissing = log(1 - outlineShare);
  let score: f64 = 0;
  let shown: f64 = 0;
  for (let m = 0; m < count; m++) {
    const point = load<i32>(matchPoint + (m << 2));
    const isInner = load<u8>(matchInner + m) != 0;
    const share = isInner ? innerShare : outlineShare;
    if (point < 0) {
      if (isScored) score += isInner ? innerMissing : outlineMissing;
      continue;
    }
    if (!isInner) shown++;
    const curve = <i32>load<u8>(matchCurve + m);
    const conics: usize = table + curve * curveBytes;
    const x = v128.load_splat<f64>(xs + (point << 3));
    const y = v128.load_splat<f64>(ys + (point << 3));
    const plain = load<f64>(weights + (point << 3));
    const here = pairOf(conics + itself, x, y);
    const d0 = f64x2.div(f64x2.sub(pairOf(conics, x, y), here), s0);
    const d1 = f64x2.div(f64x2.sub(pairOf(conics + pairBytes, x, y), here), s1);
    const d2 = f64x2.div(f64x2.sub(pairOf(conics + 2 * pairBytes, x, y), here), s2);
    const d3 = f64x2.replace_lane(here, 1, 0);
    const like = load<f64>(matchLike + (m << 3));
    const edge = share * peak * plain * like;
    if (isScored) score += log(1 - share + edge);
    const weight = isFine ? edge / (1 - share + edge) : (plain * like) / (like + background);
    const w = f64x2.splat(weight);
    const w0 = f64x2.mul(w, d0);
    const w1 = f64x2.mul(w, d1);
    const w2 = f64x2.mul(w, d2);
    add(sums, f64x2.mul(one(w0), d0));
    addLast(sums, one(w0), d1, d2, d3);
    add(sums + 64, f64x2.mul(other(w0), d0));
    addLast(sums + 64, other(w0), d1, d2, d3);
    addLast(sums + 128, one(w1), d1, d2, d3);
    addLast(sums + 192, other(w1), d1, d2, d3);
    add(sums + 288, f64x2.mul(one(w2), d2));
    add(sums + 304, f64x2.mul(one(w2), d3));
    add(sums + 352, f64x2.mul(other(w2), d2));
    add(sums + 368, f64x2.mul(other(w2), d3));
    if (curve == 0) continue;
    const its = f64x2.div(f64x2.sub(pairOf(conics + own, x, y), here), curve == 1 ? farSteps : ownSteps);
    const wIts = f64x2.mul(w, its);
    const to: usize = sums + commonBytes + curve * ownBytes;
    addOwn(to, one(its), one(wIts), w0, w1, d2, d3);
    add(to + 128, f64x2.mul(one(wIts), its));
    if (curve == 1) continue;
    addOwn(to + 64, other(its), other(wIts), w0, w1, d2, d3);
    add(to + 144, f64x2.mul(wIts, its));
  }
  store<f64>(totals, score);
  store<f64>(totals, shown, 8);
}
