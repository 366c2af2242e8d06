/**
 * Solves a few linear equations by elimination with partial pivoting, without taking memory: this runs some thirty
 * times a picture, where a general library spends its time on making matrices.
 *
 * @param matrix n x n, row by row; destroyed
 * @param right n values, replaced by the solution
 * @returns false where the equations determine none
 */
export function solveInPlace(matrix: Float64Array, right: Float64Array): boolean {
  const n = right.length;
  for (let column = 0; column < n; column++) {
    let pivot = column;
    for (let row = column + 1; row < n; row++)
      if (Math.abs(matrix[row * n + column]) > Math.abs(matrix[pivot * n + column])) pivot = row;
    const top = matrix[pivot * n + column];
    // Also false for NaN.
    if (!(Math.abs(top) > 0)) return false;
    if (pivot !== column) swapRows(matrix, right, pivot, column);
    for (let row = column + 1; row < n; row++) {
      const factor = matrix[row * n + column] / top;
      if (factor === 0) continue;
      for (let k = column + 1; k < n; k++) matrix[row * n + k] -= factor * matrix[column * n + k];
      right[row] -= factor * right[column];
    }
  }
  for (let row = n - 1; row >= 0; row--) {
    let sum = right[row];
    for (let k = row + 1; k < n; k++) sum -= matrix[row * n + k] * right[k];
    right[row] = sum / matrix[row * n + row];
  }
  return true;
}

function swapRows(matrix: Float64Array, right: Float64Array, one: number, other: number): void {
  const n = right.length;
  for (let k = 0; k < n; k++) {
    const kept = matrix[one * n + k];
    matrix[one * n + k] = matrix[other * n + k];
    matrix[other * n + k] = kept;
  }
  const kept = right[one];
  right[one] = right[other];
  right[other] = kept;
}
