import { solveInPlace } from './small-solve.ts';

/** Normal equations of one group of measurements: the matrix row by row, and the right-hand side. */
export interface NormalEquations {
  matrix: Float64Array;
  right: Float64Array;
}

/** Sum of the groups' normal equations; `prior`, knowledge that is no measurement, is added to the diagonal. */
function together(groups: readonly NormalEquations[], prior: readonly number[]): NormalEquations {
  const n = prior.length;
  const matrix = new Float64Array(n * n);
  const right = new Float64Array(n);
  for (let i = 0; i < n; i++) matrix[i * n + i] = prior[i];
  for (const group of groups) {
    for (let k = 0; k < n * n; k++) matrix[k] += group.matrix[k];
    for (let i = 0; i < n; i++) right[i] += group.right[i];
  }
  return { matrix, right };
}

/** The least-squares solution of all groups; null where they determine none. */
export function solveTogether(
  groups: readonly NormalEquations[],
  prior: readonly number[],
): Float64Array | null {
  const { matrix, right } = together(groups, prior);
  return solveInPlace(matrix, right) ? right : null;
}

/**
 * The covariance of a least-squares solution by the jackknife: how it changes as one group after the other is left
 * out (Efron 1982, The Jackknife, the Bootstrap and Other Resampling Plans, chapter 3; from memory). Neighbouring
 * pixels share their flaws (compression, a shadow, something before the disc), so that residuals alone make a fit
 * look surer than it is; groups of neighbours hold such flaws whole.
 *
 * @returns the covariance row by row; null where what is left determines no solution
 */
export function jackknifeCovariance(
  groups: readonly NormalEquations[],
  prior: readonly number[],
): Float64Array | null {
  const n = prior.length;
  const { matrix, right } = together(groups, prior);
  const others = new Float64Array(n * n);
  const solution = new Float64Array(n);
  const left = new Float64Array(groups.length * n);
  const mean = new Float64Array(n);
  for (let g = 0; g < groups.length; g++) {
    for (let k = 0; k < n * n; k++) others[k] = matrix[k] - groups[g].matrix[k];
    for (let i = 0; i < n; i++) solution[i] = right[i] - groups[g].right[i];
    if (!solveInPlace(others, solution)) return null;
    left.set(solution, g * n);
    for (let i = 0; i < n; i++) mean[i] += solution[i] / groups.length;
  }
  const covariance = new Float64Array(n * n);
  const factor = (groups.length - 1) / groups.length;
  for (let g = 0; g < groups.length; g++)
    for (let i = 0; i < n; i++)
      for (let j = 0; j < n; j++)
        covariance[i * n + j] += factor * (left[g * n + i] - mean[i]) * (left[g * n + j] - mean[j]);
  return covariance;
}
