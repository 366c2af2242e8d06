/**
 * How a rim moved and grew, as `fitRimShift` of shared-lib/picture/rim-fit.ts fits it to the edges on its rays, in the same order,
 * so that the result is the same to the bit. Compiled by AssemblyScript to dist/kernels.wasm; the plain version is its test.
 */
import {
  covariance,
  groupBytes,
  leaveOut,
  rowBytes,
  solution,
  solveTogether,
  together,
  unknowns,
} from './jackknife';

const mostRays: i32 = 128;
const candidatesPerRay: i32 = 4;
const arcs: i32 = 16;
const fullStep: f64 = 10;
const mostIterations: i32 = 8;
const settledPx: f64 = 1e-4;

// Of each ray: its direction, where it starts from the centre, what it is trusted.
const nx = memory.data(5 * 128 * 8, 16);
const ny: usize = nx + mostRays * 8;
const px: usize = ny + mostRays * 8;
const py: usize = px + mostRays * 8;
const trust: usize = py + mostRays * 8;
// Of each candidate: its place along the ray and its step, and what it weighs.
const offset = memory.data(2 * 128 * 4 * 8, 16);
const step: usize = offset + mostRays * candidatesPerRay * 8;
const weight = memory.data(128 * 4 * 8, 16);
/** How far each of the unknowns moves the edge on a ray outward: five values and room for one. */
const effects = memory.data(128 * 6 * 8, 16);
const rest = memory.data((128 + 2) * 8, 16);
const groups = memory.data(16 * 5 * 6 * 8, 16);
const prior = memory.data(5 * 8, 16);
const before = memory.data(5 * 8, 16);
/** What came out: the five unknowns, weights, weighted squares, edges that agree, their steps, and variances of what `covariance` has. */
const fit = memory.data(13 * 8, 16);
const chosen = memory.data(128 * 4, 16);

export function rimFitRaysAt(): usize {
  return nx;
}
export function rimFitCandidatesAt(): usize {
  return offset;
}
export function rimFitAt(): usize {
  return fit;
}
export function rimFitChosenAt(): usize {
  return chosen;
}
export function mostRimFitRays(): i32 {
  return mostRays;
}

function value(what: usize, k: i32): f64 {
  return load<f64>(what + (k << 3));
}

/** The most that the rays from each one on can add to a score. */
function fillRest(rays: i32, stride: i32): void {
  const last = ((rays - 1) / stride) * stride;
  store<f64>(rest + ((last + stride) << 3), 0);
  for (let i = last; i >= 0; i -= stride) {
    const k = weight + ((i * candidatesPerRay) << 3);
    const pairs = f64x2.max(v128.load(k), v128.load(k, 16));
    const top = max(f64x2.extract_lane(pairs, 0), f64x2.extract_lane(pairs, 1));
    store<f64>(rest + (i << 3), (value(rest, i + stride) + value(trust, i) * top) * (1 + 1e-12));
  }
}

function score(rays: i32, stride: i32, dx: f64, dy: f64, perKernel: f64, nearness: f64, least: f64): f64 {
  let sum: f64 = 0;
  const per = f64x2.splat(perKernel);
  const one = f64x2.splat(1);
  for (let i = 0; i < rays; i += stride) {
    if ((sum + value(rest, i)) * nearness < least) return -Infinity;
    const ray = value(trust, i);
    if (ray == 0) continue;
    const expected = f64x2.splat(value(nx, i) * dx + value(ny, i) * dy);
    const k: usize = (i * candidatesPerRay) << 3;
    const u0 = f64x2.mul(f64x2.sub(v128.load(offset + k), expected), per);
    const u1 = f64x2.mul(f64x2.sub(v128.load(offset + k, 16), expected), per);
    const v0 = f64x2.mul(v128.load(weight + k), f64x2.sub(one, f64x2.mul(u0, u0)));
    const v1 = f64x2.mul(v128.load(weight + k, 16), f64x2.sub(one, f64x2.mul(u1, u1)));
    // What is no number, since there are no more candidates on this ray, is passed over.
    const top = f64x2.pmax(f64x2.pmax(f64x2.splat(0), v0), v1);
    sum += ray * max(f64x2.extract_lane(top, 0), f64x2.extract_lane(top, 1));
  }
  return sum * nearness;
}

let bestX: f64 = 0;
let bestY: f64 = 0;

function nearnessOf(dx: f64, dy: f64, startX: f64, startY: f64, sigmaPx: f64): f64 {
  const x = dx - startX;
  const y = dy - startY;
  const far = (x * x + y * y) / (sigmaPx * sigmaPx);
  return 1 - 0.1 * min<f64>(1, far / 9);
}

/** Looks for the best shift about one; false where there is none. */
function vote(
  rays: i32,
  fromX: f64,
  fromY: f64,
  startX: f64,
  startY: f64,
  sigmaPx: f64,
  reachPx: f64,
  stepPx: f64,
  kernelPx: f64,
  stride: i32,
): bool {
  const n = <i32>Math.floor(reachPx / stepPx);
  fillRest(rays, stride);
  const perKernel = 1 / kernelPx;
  bestX = fromX;
  bestY = fromY;
  let isFound = false;
  let bestScore: f64 = -Infinity;
  const middle = nearnessOf(fromX, fromY, startX, startY, sigmaPx);
  const least = score(rays, stride, fromX, fromY, perKernel, middle, -Infinity);
  for (let gy = -n; gy <= n; gy++) {
    for (let gx = -n; gx <= n; gx++) {
      const dx = fromX + <f64>gx * stepPx;
      const dy = fromY + <f64>gy * stepPx;
      const nearness = nearnessOf(dx, dy, startX, startY, sigmaPx);
      const here = score(rays, stride, dx, dy, perKernel, nearness, max(least, bestScore));
      if (!(here > bestScore)) continue;
      isFound = true;
      bestScore = here;
      bestX = dx;
      bestY = dy;
    }
  }
  return isFound;
}

/** Weighs the candidates. @returns on how many rays there are any */
function weigh(rays: i32): i32 {
  let met = 0;
  for (let i = 0; i < rays; i++) {
    const first = i * candidatesPerRay;
    if (value(step, first) != 0) met++;
    for (let k = first; k < first + candidatesPerRay; k++)
      store<f64>(weight + (k << 3), min<f64>(1, Math.abs(value(step, k)) / fullStep));
  }
  return met;
}

function fillEffects(rays: i32): void {
  for (let i = 0; i < rays; i++) {
    const e: usize = effects + i * rowBytes;
    const x = value(nx, i);
    const y = value(ny, i);
    const right = value(px, i);
    const down = value(py, i);
    store<f64>(e, x);
    store<f64>(e, y, 8);
    store<f64>(e, x * right + y * down, 16);
    store<f64>(e, x * right - y * down, 24);
    store<f64>(e, x * down + y * right, 32);
  }
}

/** The candidate of a ray that speaks most for an expected distance; -1 where none lies within the gate. */
function bestWeighted(ray: i32, expected: f64, gate: f64): i32 {
  let best = -1;
  let most: f64 = 0;
  const end = (ray + 1) * candidatesPerRay;
  for (let k = end - candidatesPerRay; k < end; k++) {
    const u = (value(offset, k) - expected) / gate;
    const speaks = value(weight, k) * (1 - u * u);
    if (!(speaks > most)) continue;
    most = speaks;
    best = k;
  }
  return best;
}

function addRow(group: usize, row: i32, w: f64, j01: v128, j23: v128, last: v128): void {
  const to: usize = group + row * rowBytes;
  const by = f64x2.splat(w);
  v128.store(to, f64x2.add(v128.load(to), f64x2.mul(by, j01)));
  v128.store(to, f64x2.add(v128.load(to, 16), f64x2.mul(by, j23)), 16);
  v128.store(to, f64x2.add(v128.load(to, 32), f64x2.mul(by, last)), 32);
}

/** One round: the equations of each arc from the edges that agree with `fit` within the gate. */
function gather(rays: i32, gate: f64): void {
  memory.fill(groups, 0, arcs * groupBytes);
  let sumW: f64 = 0;
  let sumWr2: f64 = 0;
  let used: f64 = 0;
  let contrast: f64 = 0;
  const dx = value(fit, 0);
  const dy = value(fit, 1);
  const growth = value(fit, 2);
  const along = value(fit, 3);
  const across = value(fit, 4);
  for (let i = 0; i < rays; i++) {
    store<i32>(chosen + (i << 2), -1);
    const ray = value(trust, i);
    if (ray == 0) continue;
    const e: usize = effects + i * rowBytes;
    const j0 = value(e, 0);
    const j1 = value(e, 1);
    const j2 = value(e, 2);
    const j3 = value(e, 3);
    const j4 = value(e, 4);
    const expected = j0 * dx + j1 * dy + j2 * growth + j3 * along + j4 * across;
    const k = bestWeighted(i, expected, gate);
    store<i32>(chosen + (i << 2), k);
    if (k < 0) continue;
    const place = value(offset, k);
    const residual = place - expected;
    const u = residual / gate;
    const near = 1 - u * u;
    const w = ray * value(weight, k) * (near * near);
    used++;
    contrast += Math.abs(value(step, k));
    sumW += w;
    sumWr2 += w * residual * residual;
    const group: usize = groups + ((i * arcs) / rays) * groupBytes;
    const j01 = v128.load(e);
    const j23 = v128.load(e, 16);
    const last = f64x2.replace_lane(f64x2.splat(j4), 1, place);
    addRow(group, 0, w * j0, j01, j23, last);
    addRow(group, 1, w * j1, j01, j23, last);
    addRow(group, 2, w * j2, j01, j23, last);
    addRow(group, 3, w * j3, j01, j23, last);
    addRow(group, 4, w * j4, j01, j23, last);
  }
  store<f64>(fit, sumW, 40);
  store<f64>(fit, sumWr2, 48);
  store<f64>(fit, used, 56);
  store<f64>(fit, contrast, 64);
}

/** The most that an edge on any of a few rays moved since the round before. */
function furthestApart(rays: i32): f64 {
  let most: f64 = 0;
  for (let i = 0; i < rays; i += 8) {
    const e: usize = effects + i * rowBytes;
    let moved: f64 = 0;
    for (let k = 0; k < unknowns; k++) moved += value(e, k) * (value(fit, k) - value(before, k));
    most = max(most, Math.abs(moved));
  }
  return most;
}

/** Fits shift, growth and stretch; false where too little agrees. */
export function rimFit(
  rays: i32,
  startX: f64,
  startY: f64,
  maxShiftPx: f64,
  shiftSigmaPx: f64,
  kernelPx: f64,
  scaleSigma: f64,
  stretchSigma: f64,
): bool {
  if (weigh(rays) < 8) return false;
  const coarse = max<f64>(kernelPx, 1.5);
  bestX = startX;
  bestY = startY;
  const isNear =
    maxShiftPx > 2 * coarse &&
    vote(rays, startX, startY, startX, startY, shiftSigmaPx, maxShiftPx, coarse, 1.5 * coarse, 2);
  const reach = isNear ? 2 * coarse : maxShiftPx;
  vote(rays, bestX, bestY, startX, startY, shiftSigmaPx, reach, kernelPx / 2, kernelPx, 1);
  fillEffects(rays);
  memory.fill(fit, 0, 13 * 8);
  store<f64>(fit, bestX);
  store<f64>(fit, bestY, 8);
  let gate = kernelPx;
  for (let iteration = 0; iteration < mostIterations; iteration++) {
    gather(rays, gate);
    const sumW = value(fit, 5);
    const mean = value(fit, 6) / sumW;
    if (value(fit, 7) < 8 || !(sumW > 0)) return false;
    const variance = max<f64>(0.04, mean);
    const onStretch = variance / (stretchSigma * stretchSigma);
    store<f64>(prior, variance / (scaleSigma * scaleSigma), 16);
    store<f64>(prior, onStretch, 24);
    store<f64>(prior, onStretch, 32);
    together(groups, arcs, prior);
    if (!solveTogether()) return false;
    memory.copy(before, fit, unknowns * 8);
    memory.copy(fit, solution, unknowns * 8);
    const next = max<f64>(0.8, min(kernelPx, 4 * Math.sqrt(mean)));
    const isSettled = next == gate || Math.abs(next - gate) < settledPx;
    gate = next;
    if (isSettled && furthestApart(rays) < settledPx) break;
  }
  return true;
}

/** The covariance of what was fitted last; false where what is left of the rays determines none. */
export function rimFitCovariance(): bool {
  if (!leaveOut(groups, arcs)) return false;
  memory.copy(fit + 9 * 8, covariance, 4 * 8);
  return true;
}
