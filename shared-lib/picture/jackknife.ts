import { Matrix, solve } from 'ml-matrix';

/** Normal equations of one group of measurements: the matrix row by row, and the right-hand side. */
export interface NormalEquations {
  matrix: Float64Array;
  right: Float64Array;
}

/** Sum of the groups' normal equations; `prior`, knowledge that is no measurement, is added to the diagonal. */
function together(
  groups: readonly NormalEquations[],
  prior: readonly number[],
): { matrix: Matrix; right: Matrix } {
  const n = prior.length;
  const matrix = Matrix.diag([...prior]);
  const right = Matrix.zeros(n, 1);
  for (const group of groups) {
    matrix.add(Matrix.from1DArray(n, n, group.matrix));
    right.add(Matrix.from1DArray(n, 1, group.right));
  }
  return { matrix, right };
}

/** The least-squares solution of all groups. @throws where they determine none */
export function solveTogether(groups: readonly NormalEquations[], prior: readonly number[]): number[] {
  const { matrix, right } = together(groups, prior);
  return solve(matrix, right).getColumn(0);
}

/**
 * The covariance of a least-squares solution by the jackknife: how it changes as one group after the other is left
 * out (Efron 1982, The Jackknife, the Bootstrap and Other Resampling Plans, chapter 3; from memory). Neighbouring
 * pixels share their flaws (compression, a shadow, something before the disc), so that residuals alone make a fit
 * look surer than it is; groups of neighbours hold such flaws whole.
 *
 * @returns null where what is left determines no solution
 */
export function jackknifeCovariance(
  groups: readonly NormalEquations[],
  prior: readonly number[],
): Matrix | null {
  const n = prior.length;
  const { matrix, right } = together(groups, prior);
  const left: number[][] = [];
  try {
    for (const group of groups) {
      const others = Matrix.sub(matrix, Matrix.from1DArray(n, n, group.matrix));
      left.push(solve(others, Matrix.sub(right, Matrix.from1DArray(n, 1, group.right))).getColumn(0));
    }
  } catch {
    return null;
  }
  const mean = Array.from({ length: n }, (_, i) => left.reduce((sum, x) => sum + x[i], 0) / left.length);
  const scatter = new Matrix(left.map((x) => x.map((v, i) => v - mean[i])));
  return scatter
    .transpose()
    .mmul(scatter)
    .mul((left.length - 1) / left.length);
}
