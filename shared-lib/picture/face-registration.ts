import type { Rim } from '../contract/trace.ts';
import { biweightReach } from '../motion/statistics.ts';
import { cropDisc, toCrop } from './disc-crop.ts';
import { facePass, sectors, sumsPerSector } from './face-pass.ts';
import { cellOf, levelsOf, sleeveBefore, standsOut } from './face-sleeve.ts';
import { sampleBilinear, type GreyImage } from './grey-image.ts';
import { jackknifeCovariance, type NormalEquations } from './jackknife.ts';
import { solveInPlace } from './small-solve.ts';

/**
 * What the disc's face looked like in one sharp picture: grey levels at points of the face, given in the plane
 * of the disc in units of its radius, and their gradients along the same axes. The hub and the sleeve's end stand proud of the face, move
 * differently under perspective, and are left out; so is the rim itself, which rimFit measures.
 */
export interface FaceTemplate {
  /** Pictures are reduced by this before they are compared. */
  factor: number;
  u: Float32Array;
  v: Float32Array;
  grey: Float32Array;
  gu: Float32Array;
  gv: Float32Array;
  sector: Uint8Array;
  /** Where a sleeve is looked for, see face-sleeve.ts; null where the middle shows none. */
  cell: Uint16Array | null;
}

/** Where the face is against the expected place, how it turned, and how well it agrees. */
export interface FaceRegistration {
  dxPx: number;
  dyPx: number;
  turnRad: number;
  varXPx2: number;
  varYPx2: number;
  covXYPx2: number;
  /** Correlation between template and picture after registration, of the points that were asked for. */
  correlation: number;
  /** Share of face points that agree, 0 to 1. */
  inlierShare: number;
}

const reducedRadiusPx = 40;
const innerShare = 0.3;
const outerShare = 0.9;
/** The sleeve's end, or the hub that it comes out of, is seen in the middle of a disc (common practice: 50 of 450 mm). */
const middleShare = 0.1;
/** On a smaller disc a sleeve is seen as a few pixels (set by judgement). */
const leastWithSleeve = 30;
const unknowns = 5;
/** Registration is not trusted beyond this, reduced pixels, one sigma: interpolation and blur differ from the template's. */
const floorPx = 0.03;

export function faceTemplate(image: GreyImage, rim: Rim): FaceTemplate {
  const factor = Math.max(1, Math.round(rim.aPx / reducedRadiusPx));
  const crop = cropDisc(image, rim.xPx, rim.yPx, halfSide(rim, factor), factor);
  const cx = toCrop(rim.xPx, crop.leftPx, factor);
  const cy = toCrop(rim.yPx, crop.topPx, factor);
  const n = takePoints(crop.image, cx, cy, shapeOf(rim, factor));
  const levels = rim.aPx >= leastWithSleeve ? levelsOf(taken.grey, n) : null;
  const middle = levelNear(crop.image, cx, cy, middleShare * (rim.aPx / factor));
  if (!levels || !standsOut(levels, middle)) return { factor, ...pointsTaken(n, null), cell: null };
  for (let i = 0; i < n; i++) taken.cell[i] = cellOf(taken.turn[i], taken.radius[i], innerShare, outerShare);
  const hidden = sleeveBefore(taken.grey, taken.cell, levels, n);
  const points = pointsTaken(n, hidden);
  return { factor, ...points, cell: keptOf(taken.cell, new Uint16Array(points.u.length), n, hidden) };
}

/** Points of one face after the other, before those that are hidden are left out: a template is taken of every fourth picture. */
let taken = roomFor(0);

function roomFor(points: number) {
  return {
    u: new Float32Array(points),
    v: new Float32Array(points),
    grey: new Float32Array(points),
    gu: new Float32Array(points),
    gv: new Float32Array(points),
    sector: new Uint8Array(points),
    cell: new Uint16Array(points),
    /** Direction of each, 0 to 1, and distance from the middle, of the rim's radius. */
    turn: new Float64Array(points),
    radius: new Float64Array(points),
  };
}

/** Takes every other point of a face, like the squares of one colour on a chessboard. @returns how many */
function takePoints(
  { width: side, data: d }: GreyImage,
  cx: number,
  cy: number,
  { xx, xy, yy }: ReturnType<typeof shapeOf>,
): number {
  const most = Math.ceil((side * side) / 2);
  if (taken.u.length < most) taken = roomFor(most);
  const { u: us, v: vs, grey, gu, gv, sector, turn: turns, radius } = taken;
  const det = xx * yy - xy * xy;
  let n = 0;
  for (let y = 1; y < side - 1; y++) {
    for (let x = 2 - (y % 2); x < side - 1; x += 2) {
      const u = (yy * (x - cx) - xy * (y - cy)) / det;
      const v = (xx * (y - cy) - xy * (x - cx)) / det;
      // Math.hypot is slow, and differs from the root by rounding: it decides only where that may matter.
      const square = u * u + v * v;
      if (square < 0.99 * innerShare * innerShare || square > 1.01 * outerShare * outerShare) continue;
      if (square < 1.01 * innerShare * innerShare || square > 0.99 * outerShare * outerShare) {
        const level = Math.hypot(u, v);
        if (level < innerShare || level > outerShare) continue;
      }
      const at = y * side + x;
      const gx = (d[at + 1] - d[at - 1]) / 2;
      const gy = (d[at + side] - d[at - side]) / 2;
      const turn = Math.atan2(v, u) / (2 * Math.PI) + 0.5;
      us[n] = u;
      vs[n] = v;
      grey[n] = d[at];
      gu[n] = xx * gx + xy * gy;
      gv[n] = xy * gx + yy * gy;
      sector[n] = Math.min(sectors - 1, Math.floor(turn * sectors));
      turns[n] = turn;
      radius[n] = Math.sqrt(square);
      n++;
    }
  }
  return n;
}

/** Of the first `n` points taken those that nothing hides. @param hidden 1 where something hides one; null for none */
function pointsTaken(n: number, hidden: Uint8Array | null): Omit<FaceTemplate, 'factor' | 'cell'> {
  let count = n;
  if (hidden) for (let i = 0; i < n; i++) count -= hidden[i];
  const of = (column: Float32Array): Float32Array => keptOf(column, new Float32Array(count), n, hidden);
  return {
    u: of(taken.u),
    v: of(taken.v),
    grey: of(taken.grey),
    gu: of(taken.gu),
    gv: of(taken.gv),
    sector: keptOf(taken.sector, new Uint8Array(count), n, hidden),
  };
}

function keptOf<Column extends Float32Array | Uint16Array | Uint8Array>(
  from: Column,
  to: Column,
  n: number,
  hidden: Uint8Array | null,
): Column {
  if (!hidden) to.set(from.subarray(0, n));
  else for (let i = 0, k = 0; i < n; i++) if (hidden[i] === 0) to[k++] = from[i];
  return to;
}

/** Mean level within a radius of a place, pixels. */
function levelNear({ width, data }: GreyImage, x: number, y: number, radius: number): number {
  const reach = Math.ceil(radius);
  let [sum, count] = [0, 0];
  for (let j = Math.round(y) - reach; j <= Math.round(y) + reach; j++)
    for (let i = Math.round(x) - reach; i <= Math.round(x) + reach; i++)
      if (Math.hypot(i - x, j - y) <= Math.max(1, radius)) {
        sum += data[j * width + i];
        count++;
      }
  return sum / count;
}

/** Grey levels of a picture at the template's points, with the disc's rim at a place and the disc turned. */
export function faceIn(
  image: GreyImage,
  { factor, u, v }: FaceTemplate,
  rim: Rim,
  turnRad: number,
): Float32Array {
  const crop = cropDisc(image, rim.xPx, rim.yPx, halfSide(rim, factor), factor);
  const [x0, y0] = [toCrop(rim.xPx, crop.leftPx, factor), toCrop(rim.yPx, crop.topPx, factor)];
  const { mxu, mxv, myu, myv } = turnedAxes(shapeOf(rim, factor), turnRad);
  return u.map((du, i) => sampleBilinear(crop.image, x0 + mxu * du + mxv * v[i], y0 + myu * du + myv * v[i]));
}

/** The template with only those of its points that pass. */
export function facePoints(template: FaceTemplate, passes: (point: number) => boolean): FaceTemplate {
  const { factor, sector, cell } = template;
  const of = (column: Float32Array): Float32Array => column.filter((_, i) => passes(i));
  const [u, v, grey, gu, gv] = [template.u, template.v, template.grey, template.gu, template.gv].map(of);
  const isPassed = (_: number, i: number): boolean => passes(i);
  return {
    factor,
    u,
    v,
    grey,
    gu,
    gv,
    sector: sector.filter(isPassed),
    cell: cell?.filter(isPassed) ?? null,
  };
}

const halfSide = (rim: Rim, factor: number): number => rim.aPx * 1.05 + 2 * factor;

/**
 * The symmetric matrix that carries the unit circle to the rim, reduced pixels: how a camera that stands level
 * sees the disc's own right and up, whatever way the axes of a nearly round rim point.
 */
function shapeOf(rim: Rim, factor: number): { xx: number; xy: number; yy: number } {
  const c = Math.cos(rim.thetaRad);
  const s = Math.sin(rim.thetaRad);
  const a = rim.aPx / factor;
  const b = rim.bPx / factor;
  return { xx: a * c * c + b * s * s, xy: (a - b) * c * s, yy: a * s * s + b * c * c };
}

/** The face's own axes u and v in the picture, reduced pixels, with the disc turned. */
function turnedAxes({ xx, xy, yy }: ReturnType<typeof shapeOf>, turnRad: number) {
  const c = Math.cos(turnRad);
  const s = Math.sin(turnRad);
  return { mxu: xx * c + xy * s, mxv: xy * c - xx * s, myu: xy * c + yy * s, myv: yy * c - xy * s };
}

/**
 * Registers the template's face in a picture: translation, turn about the centre, gain and offset, by
 * inverse-compositional Gauss-Newton (Baker & Matthews 2004, IJCV 56(3):221-255) with Tukey weights. Size and
 * shape are taken from the expected rim, so that a disc that comes nearer or is seen more obliquely than in its
 * template still matches. Null where it does not converge or the face has too little texture to say.
 *
 * @param correlated of which points the correlation is told: of those that agree, whatever passes before the others, or of all
 */
export function registerFace(
  image: GreyImage,
  template: FaceTemplate,
  expected: Rim,
  turnRad: number,
  correlated: 'all' | 'agreeing' = 'all',
): FaceRegistration | null {
  const { factor, grey } = template;
  const crop = cropDisc(image, expected.xPx, expected.yPx, halfSide(expected, factor), factor);
  const x0 = toCrop(expected.xPx, crop.leftPx, factor);
  const y0 = toCrop(expected.yPx, crop.topPx, factor);
  const shape = shapeOf(expected, factor);
  const n = grey.length;
  const { pass, seen, sums, totals } = facePass(template, crop.image);
  let tx = 0;
  let ty = 0;
  let turn = turnRad;
  let gain = 1;
  let offset = 0;
  let sigma = 30;
  let inliers = 0;
  for (let iteration = 0; iteration < 8; iteration++) {
    const { mxu, mxv, myu, myv } = turnedAxes(shape, turn);
    pass(x0 + tx, y0 + ty, mxu, mxv, myu, myv, gain, offset, 1 / (biweightReach * sigma));
    inliers = totals[0];
    if (inliers < 0.3 * n) return null;
    if (!solvedTogether(sums)) return null;
    // The residual's gradient shift is the template moved the other way: compose with the inverse.
    const stepX = mxu * solution[0] + mxv * solution[1];
    const stepY = myu * solution[0] + myv * solution[1];
    tx -= stepX;
    ty -= stepY;
    turn -= solution[2];
    gain += solution[3];
    offset += solution[4];
    sigma = Math.max(1.5, Math.min(sigma, 1.3 * Math.sqrt(totals[1] / totals[2])));
    if (Math.hypot(tx, ty) > 0.35 * reducedRadiusPx || gain < 0.2 || gain > 5) return null;
    if (iteration > 1 && Math.hypot(stepX, stepY) < 0.005) break;
  }
  const covariance = jackknifeCovariance(unpacked(sums), noPrior);
  if (!covariance) return null;
  const { mxu, mxv, myu, myv } = turnedAxes(shape, turn);
  const vuu = covariance[0];
  const vvv = covariance[unknowns + 1];
  const vuv = covariance[1];
  const f2 = factor * factor;
  const floor = floorPx * floorPx;
  return {
    dxPx: tx * factor,
    dyPx: ty * factor,
    turnRad: turn,
    varXPx2: f2 * (mxu * mxu * vuu + 2 * mxu * mxv * vuv + mxv * mxv * vvv + floor),
    varYPx2: f2 * (myu * myu * vuu + 2 * myu * myv * vuv + myv * myv * vvv + floor),
    covXYPx2: f2 * (mxu * myu * vuu + (mxu * myv + mxv * myu) * vuv + mxv * myv * vvv),
    correlation:
      correlated === 'all'
        ? likenessOf(seen, template, gain, offset)
        : correlation(seen, grey, gain, offset, biweightReach * sigma, null),
    inlierShare: inliers / n,
  };
}

/** Work space, for one registration after the other; never shared between workers. */
const matrix = new Float64Array(unknowns * unknowns);
const solution = new Float64Array(unknowns);
const groups: NormalEquations[] = Array.from({ length: sectors }, () => ({
  matrix: new Float64Array(unknowns * unknowns),
  right: new Float64Array(unknowns),
}));

/** Solves the equations of all sectors together into `solution`; false where they determine none. */
function solvedTogether(sums: Float64Array): boolean {
  let at = 0;
  for (let a = 0; a < unknowns; a++)
    for (let b = a; b < unknowns; b++, at++)
      matrix[a * unknowns + b] = matrix[b * unknowns + a] = overSectors(sums, at);
  for (let a = 0; a < unknowns; a++, at++) solution[a] = overSectors(sums, at);
  return solveInPlace(matrix, solution);
}

function overSectors(sums: Float64Array, at: number): number {
  let total = 0;
  for (let k = at; k < sums.length; k += sumsPerSector) total += sums[k];
  return total;
}

const noPrior = new Array<number>(unknowns).fill(0);

/** The equations of each sector by itself, in work space. */
function unpacked(sums: Float64Array): readonly NormalEquations[] {
  let at = 0;
  for (const { matrix, right } of groups) {
    for (let a = 0; a < unknowns; a++) {
      for (let b = a; b < unknowns; b++) {
        matrix[a * unknowns + b] = sums[at];
        matrix[b * unknowns + a] = sums[at++];
      }
    }
    for (let a = 0; a < unknowns; a++) right[a] = sums[at++];
  }
  return groups;
}

/** A face that is as like its template as this needs no look at what hides some of it; set by judgement. */
const plainLikeness = 0.95;

/** Correlation of all points but those that the sleeve hides now. */
function likenessOf(
  seen: ArrayLike<number>,
  { grey, cell }: FaceTemplate,
  gain: number,
  offset: number,
): number {
  const all = correlation(seen, grey, gain, offset, Infinity, null);
  const hidden = cell && all < plainLikeness ? sleeveBefore(seen, cell, levelsOf(seen)) : null;
  return hidden ? correlation(seen, grey, gain, offset, Infinity, hidden) : all;
}

/** Of the points whose level differs from the template's by less than a bound. @param hidden 1 where a point is left out */
function correlation(
  seen: ArrayLike<number>,
  grey: ArrayLike<number>,
  gain: number,
  offset: number,
  within: number,
  hidden: Uint8Array | null,
): number {
  let n = 0;
  let m1 = 0;
  let m2 = 0;
  for (let i = 0; i < grey.length; i++) {
    if (Math.abs(seen[i] - gain * grey[i] - offset) >= within || (hidden && hidden[i] === 1)) continue;
    n++;
    m1 += seen[i];
    m2 += grey[i];
  }
  m1 /= n;
  m2 /= n;
  let s11 = 0;
  let s22 = 0;
  let s12 = 0;
  for (let i = 0; i < grey.length; i++) {
    if (Math.abs(seen[i] - gain * grey[i] - offset) >= within || (hidden && hidden[i] === 1)) continue;
    const d1 = seen[i] - m1;
    const d2 = grey[i] - m2;
    s11 += d1 * d1;
    s22 += d2 * d2;
    s12 += d1 * d2;
  }
  return s11 > 0 && s22 > 0 ? s12 / Math.sqrt(s11 * s22) : 0;
}
