import { CholeskyDecomposition, inverse, Matrix, solve } from 'ml-matrix';

/** Takes as many independent standard normals as it scatters unknowns to where those are; the others stay. */
export type Scatter = (normals: ArrayLike<number>) => number[];

/** Unknowns in their own prior sigmas: where they most likely are, and how they scatter about it. */
export interface Fitted {
  at: number[];
  scatter: Scatter;
  /** The first unknowns alone, the others being known. */
  scatterFirst: Scatter;
}

const mostSteps = 12;
const mostHalvings = 4;
const settled = 1e-3;
const step = 1e-3;

/**
 * The most likely values of unknowns that are standard normal before anything is known, from misfits in sigmas: damped
 * Gauss-Newton steps, and the normal distribution that touches the posterior there (Laplace's approximation; Bishop 2006,
 * section 4.4, from memory).
 *
 * @param misfits of unknowns; without any the unknowns stay as they were
 */
export function fitUnknowns(
  count: number,
  first: number,
  misfits: (z: readonly number[]) => number[],
): Fitted {
  let at = new Array<number>(count).fill(0);
  let off = misfits(at);
  let slope = slopeOf(misfits, at, off);
  for (let n = 0; n < mostSteps && off.length > 0; n++) {
    const turned = slope.transpose();
    const right = Matrix.columnVector(at)
      .add(turned.mmul(Matrix.columnVector(off)))
      .neg();
    const way = solve(Matrix.eye(count).add(turned.mmul(slope)), right).to1DArray();
    const moved = shorterUntilBetter(misfits, at, way, cost(at, off));
    if (!moved) break;
    ({ at, off } = moved);
    slope = slopeOf(misfits, at, off);
    if (moved.longest < settled) break;
  }
  const sure = off.length > 0 ? Matrix.eye(count).add(slope.transpose().mmul(slope)) : Matrix.eye(count);
  const ofFirst = sure.subMatrix(0, first - 1, 0, first - 1);
  return { at, scatter: scatterAbout(at, sure), scatterFirst: scatterAbout(at, ofFirst) };
}

/** @param sure how sure the first unknowns are, the inverse of their covariance */
function scatterAbout(at: readonly number[], sure: Matrix): Scatter {
  const covariance = inverse(sure);
  // Rounding leaves it a hair off symmetric, which the decomposition refuses.
  const even = Matrix.add(covariance, covariance.transpose()).mul(0.5);
  const rows = new CholeskyDecomposition(even).lowerTriangularMatrix.to2DArray();
  return (normals) =>
    at.map((z, i) => {
      let moved = z;
      if (i < rows.length) for (let j = 0; j <= i; j++) moved += rows[i][j] * normals[j];
      return moved;
    });
}

const squares = (all: readonly number[]): number => all.reduce((sum, v) => sum + v * v, 0);
const cost = (at: readonly number[], off: readonly number[]): number => squares(at) + squares(off);

function shorterUntilBetter(
  misfits: (z: readonly number[]) => number[],
  from: readonly number[],
  way: readonly number[],
  before: number,
): { at: number[]; off: number[]; longest: number } | null {
  for (let k = 0, share = 1; k <= mostHalvings; k++, share /= 2) {
    const at = from.map((z, i) => z + share * way[i]);
    const off = misfits(at);
    if (cost(at, off) < before) return { at, off, longest: share * Math.max(...way.map(Math.abs)) };
  }
  return null;
}

/** One row a misfit, one column an unknown. */
function slopeOf(
  misfits: (z: readonly number[]) => number[],
  at: readonly number[],
  off: readonly number[],
): Matrix {
  const slope = Matrix.zeros(off.length, at.length);
  if (off.length > 0)
    at.forEach((_, j) => {
      const moved = misfits(at.map((z, i) => (i === j ? z + step : z)));
      moved.forEach((m, i) => slope.set(i, j, (m - off[i]) / step));
    });
  return slope;
}
