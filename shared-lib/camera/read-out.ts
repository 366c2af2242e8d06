import { inverse, Matrix } from 'ml-matrix';
import type { ReadOut } from '../contract/trace.ts';
import { biweight, robustSigma } from '../motion/statistics.ts';
import { usualReadOut } from '../norms/phones.ts';
import { readingWay, type ReadPicture } from './drawn-out.ts';

/** A rim in one picture: where and when, and how it is drawn out of shape. */
export interface RimShape {
  tS: number;
  yPx: number;
  /** Logarithm of its height over its width. */
  tall: number;
  /** How far its right side hangs down, as a correlation of its second moments. */
  skew: number;
}

/** Pictures that tell a shape and a speed; fewer say nothing. */
const fewest = 20;
const rounds = 15;
/** A shape that stays, place and its square, speed either way, and speed as rows that are read late take it: the last is the read-out time. */
const unknowns = 5;
/** What shapes are off by with the speed for other reasons (blur that compression eats into), as seconds: measured on rendered clips, so that 95 % of the films of the even ones of 103 pairs lie within two sigmas. */
const floorS = 0.0016;
/** What the fit states is too little by this factor, since neighbouring pictures share their flaws: measured on rendered clips. */
const doubt = 2.2;

/**
 * How long a camera takes to read its rows. Rows are read one after another: a disc that moves down the rows while they
 * are read is drawn out, one that moves up is squeezed, by its speed times the read-out time over the picture's height; in
 * a picture that is turned for display a disc that moves up or down is sheared instead. Shapes change for other reasons
 * too, with the place in the picture (the side of a thick disc, the lens) and with the speed whichever way (blur): these
 * are fitted beside it. Robust regression by Tukey's biweight.
 *
 * @param shapes in time order; NaN where a picture tells no shape
 * @returns seconds of file time, null where the disc does not move enough to tell
 */
export function readOutOf(shapes: readonly RimShape[], picture: ReadPicture): ReadOut | null {
  const { along, sign, sizePx } = readingWay(picture);
  const rows = shapes.flatMap(({ yPx, tall, skew }, i) => {
    const value = along === 'y' ? tall : skew;
    const speed = speedAt(shapes, i) / sizePx;
    return Number.isFinite(value + speed)
      ? [{ value, given: [1, yPx / sizePx, (yPx / sizePx) ** 2, Math.abs(speed), sign * speed] }]
      : [];
  });
  if (rows.length < fewest) return null;
  let weights = rows.map(() => 1);
  let left = rows.map(() => 0);
  let sigma = 0;
  let normal = Matrix.eye(unknowns);
  let readOutS = 0;
  for (let round = 0; round < rounds; round++) {
    const equations = equationsOf(rows, weights);
    normal = equations.normal;
    const solved = solvable(normal);
    if (!solved) return null;
    const found = solved.mmul(equations.right).to1DArray();
    readOutS = found[unknowns - 1];
    left = rows.map(({ value, given }) => {
      let rest = value;
      for (let a = 0; a < unknowns; a++) rest -= given[a] * found[a];
      return rest;
    });
    sigma = robustSigma(left);
    if (!(sigma > 0)) break;
    weights = left.map((e) => biweight(e, sigma));
  }
  const variance =
    inverse(normal).get(unknowns - 1, unknowns - 1) * sigma * sigma * redundancy(left, weights);
  return { s: readOutS, sigmaS: Math.hypot(doubt * Math.sqrt(variance), floorS) };
}

interface Row {
  value: number;
  given: readonly number[];
}

/** Of weighted least squares, added up row by row: a clip has thousands. */
function equationsOf(rows: readonly Row[], weights: readonly number[]): { normal: Matrix; right: Matrix } {
  const normal = new Float64Array(unknowns * unknowns);
  const right = new Float64Array(unknowns);
  for (const [i, { value, given }] of rows.entries())
    for (let a = 0; a < unknowns; a++) {
      const weighted = weights[i] * given[a];
      right[a] += weighted * value;
      for (let b = 0; b < unknowns; b++) normal[a * unknowns + b] += weighted * given[b];
    }
  return {
    normal: Matrix.from1DArray(unknowns, unknowns, normal),
    right: Matrix.from1DArray(unknowns, 1, right),
  };
}

/** Pixels per second down the picture, between the pictures before and after; NaN where either is missing or of the same moment. */
function speedAt(shapes: readonly RimShape[], i: number): number {
  const [before, after] = [shapes[i - 1], shapes[i + 1]];
  if (i === 0 || i === shapes.length - 1 || !(after.tS > before.tS)) return NaN;
  return (after.yPx - before.yPx) / (after.tS - before.tS);
}

/** The inverse of the normal equations; null where what is given does not tell the unknowns apart. */
function solvable(normal: Matrix): Matrix | null {
  try {
    return inverse(normal);
  } catch {
    return null;
  }
}

/** How many neighbours in time say one thing: residuals that follow one another count less, as a first-order autoregression. */
function redundancy(left: readonly number[], weights: readonly number[]): number {
  let [own, next] = [0, 0];
  for (let i = 0; i + 1 < left.length; i++) {
    if (weights[i] === 0 || weights[i + 1] === 0) continue;
    own += (left[i] ** 2 + left[i + 1] ** 2) / 2;
    next += left[i] * left[i + 1];
  }
  const rho = own > 0 ? Math.min(0.9, Math.max(0, next / own)) : 0;
  return (1 + rho) / (1 - rho);
}

/**
 * A read-out time that was measured, with what phones take taken into account.
 *
 * @param seen seconds of file time
 * @param intervalS real time between frames, which no read-out outlasts
 * @returns real seconds
 */
export function likelyReadOut(seen: ReadOut, slowMotion: number, intervalS: number): ReadOut {
  const usual = usualReadOut(intervalS);
  const [mean, sigma] = [(usual.leastS + usual.mostS) / 2, (usual.mostS - usual.leastS) / Math.sqrt(12)];
  const [a, b] = [(slowMotion / seen.sigmaS) ** 2, 1 / (sigma * sigma)];
  const s = (a * (seen.s / slowMotion) + b * mean) / (a + b);
  return { s: Math.min(intervalS, Math.max(0, s)), sigmaS: 1 / Math.sqrt(a + b) };
}

/**
 * When a place in a picture is read, against the middle of it: a share of the read-out time, half of it at the ends.
 */
export function readingShare(picture: ReadPicture): (xPx: number, yPx: number) => number {
  const { along, sign, sizePx } = readingWay(picture);
  return (xPx, yPx) => sign * ((along === 'y' ? yPx : xPx) / (sizePx - 1) - 0.5);
}
