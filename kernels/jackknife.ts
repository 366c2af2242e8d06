/**
 * Least squares of five unknowns over groups of measurements, as shared-lib/picture/jackknife.ts and small-solve.ts do it, in the
 * same order, so that the result is the same to the bit.
 */
export const unknowns: i32 = 5;
/** Of a group: five rows of five products and, last in each, the right-hand side; what lies below the diagonal is not looked at. */
export const rowBytes: i32 = 6 * 8;
export const groupBytes: i32 = unknowns * rowBytes;

const total = memory.data(5 * 6 * 8, 16);
const work = memory.data(5 * 6 * 8, 16);
const left = memory.data(16 * 3 * 8, 16);
/** The solution, and of its covariance what is asked: of the first with itself, of the first two, of the second and of the third with itself. */
export const solution = memory.data(5 * 8, 16);
export const covariance = memory.data(4 * 8, 16);

function at(rows: usize, row: i32, column: i32): usize {
  return rows + row * rowBytes + (column << 3);
}

/** Adds up all groups; each of `prior` is added to the diagonal. */
export function together(groups: usize, count: i32, prior: usize): void {
  memory.fill(total, 0, groupBytes);
  for (let i = 0; i < unknowns; i++) store<f64>(at(total, i, i), load<f64>(prior + (i << 3)));
  for (let g = 0; g < count; g++) {
    const group = groups + g * groupBytes;
    for (let k = 0; k < groupBytes; k += 16)
      v128.store(total + k, f64x2.add(v128.load(total + k), v128.load(group + k)));
  }
}

function mirror(rows: usize): void {
  for (let row = 1; row < unknowns; row++)
    for (let column = 0; column < row; column++)
      store<f64>(at(rows, row, column), load<f64>(at(rows, column, row)));
}

/** Solves what lies in the work space into `solution`; false where it determines none. */
function solve(): bool {
  mirror(work);
  for (let column = 0; column < unknowns; column++) {
    let pivot = column;
    for (let row = column + 1; row < unknowns; row++)
      if (Math.abs(load<f64>(at(work, row, column))) > Math.abs(load<f64>(at(work, pivot, column))))
        pivot = row;
    const top = load<f64>(at(work, pivot, column));
    // Also false for NaN.
    if (!(Math.abs(top) > 0)) return false;
    if (pivot != column) swapRows(pivot, column);
    for (let row = column + 1; row < unknowns; row++) {
      const factor = load<f64>(at(work, row, column)) / top;
      if (factor == 0) continue;
      for (let k = column + 1; k <= unknowns; k++)
        store<f64>(at(work, row, k), load<f64>(at(work, row, k)) - factor * load<f64>(at(work, column, k)));
    }
  }
  for (let row = unknowns - 1; row >= 0; row--) {
    let sum = load<f64>(at(work, row, unknowns));
    for (let k = row + 1; k < unknowns; k++)
      sum -= load<f64>(at(work, row, k)) * load<f64>(solution + (k << 3));
    store<f64>(solution + (row << 3), sum / load<f64>(at(work, row, row)));
  }
  return true;
}

function swapRows(one: i32, other: i32): void {
  for (let k = 0; k < rowBytes; k += 16) {
    const kept = v128.load(work + one * rowBytes + k);
    v128.store(work + one * rowBytes + k, v128.load(work + other * rowBytes + k));
    v128.store(work + other * rowBytes + k, kept);
  }
}

/** The solution of all groups that were added up. */
export function solveTogether(): bool {
  memory.copy(work, total, groupBytes);
  return solve();
}

/** The covariance of the solution from leaving out one group after the other. */
export function leaveOut(groups: usize, count: i32): bool {
  let mean0: f64 = 0;
  let mean1: f64 = 0;
  let mean2: f64 = 0;
  const groupsInAll = <f64>count;
  for (let g = 0; g < count; g++) {
    const group = groups + g * groupBytes;
    for (let k = 0; k < groupBytes; k += 16)
      v128.store(work + k, f64x2.sub(v128.load(total + k), v128.load(group + k)));
    if (!solve()) return false;
    memory.copy(left + g * 24, solution, 24);
    mean0 += load<f64>(solution) / groupsInAll;
    mean1 += load<f64>(solution, 8) / groupsInAll;
    mean2 += load<f64>(solution, 16) / groupsInAll;
  }
  const factor = (groupsInAll - 1) / groupsInAll;
  let v00: f64 = 0;
  let v01: f64 = 0;
  let v11: f64 = 0;
  let v22: f64 = 0;
  for (let g = 0; g < count; g++) {
    const one: usize = left + g * 24;
    const d0 = load<f64>(one) - mean0;
    const d1 = load<f64>(one, 8) - mean1;
    const d2 = load<f64>(one, 16) - mean2;
    v00 += factor * d0 * d0;
    v01 += factor * d0 * d1;
    v11 += factor * d1 * d1;
    v22 += factor * d2 * d2;
  }
  store<f64>(covariance, v00);
  store<f64>(covariance, v01, 8);
  store<f64>(covariance, v11, 16);
  store<f64>(covariance, v22, 24);
  return true;
}
