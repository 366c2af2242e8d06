/** A 2 x 2 matrix, row by row. */
export type Matrix2 = readonly [xx: number, xy: number, yx: number, yy: number];

export const multiply = (a: Matrix2, b: Matrix2): Matrix2 => [
  a[0] * b[0] + a[1] * b[2],
  a[0] * b[1] + a[1] * b[3],
  a[2] * b[0] + a[3] * b[2],
  a[2] * b[1] + a[3] * b[3],
];
