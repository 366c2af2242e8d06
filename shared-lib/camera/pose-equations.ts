import type { ViewSums } from './view-sums.ts';

/** Edges of one view share flaws of light and shape, and views do so again: so many count as one (measured on rendered clips). */
export const edgesPerIndependent = 12;
/** The near face's centre is within this of the place that the follower gave, as a share of the radius. */
const centreSigma = 0.15;

/** Where a view's ring was followed and where its near face's centre is taken to be, px. */
export interface RingAndCentre {
  ring: { xPx: number; yPx: number };
  centre: { xPx: number; yPx: number };
  radiusPx: number;
}

/** A view's equations for its own centre, and what they share with the n common ones. */
interface OwnEquations {
  xx: number;
  xy: number;
  yy: number;
  right: readonly [x: number, y: number];
  /** Products with the common parameters, by x and by y. */
  mixedX: Float64Array;
  mixedY: Float64Array;
}

/** Equations for the n parameters that views have in common, their own centres taken out. */
export interface CommonEquations {
  /** n x n, row by row. */
  normal: Float64Array;
  right: Float64Array;
  owns: OwnEquations[];
}

export function commonEquations(
  n: number,
  views: readonly (RingAndCentre & Pick<ViewSums, 'sums'>)[],
  kernelPx: number,
): CommonEquations {
  const normal = new Float64Array(n * n);
  const right = new Float64Array(n);
  const width = n + 3;
  const owns = views.map(({ sums, ring, centre, radiusPx }): OwnEquations => {
    for (let a = 0; a < n; a++) {
      for (let b = 0; b < n; b++) normal[a * n + b] += sums[a * width + b];
      right[a] -= sums[a * width + n + 2];
    }
    const [x, y] = [n * width, (n + 1) * width];
    const known = (kernelPx / (centreSigma * radiusPx)) ** 2;
    return {
      xx: sums[x + n] + known,
      xy: sums[x + n + 1],
      yy: sums[y + n + 1] + known,
      right: [
        known * (ring.xPx - centre.xPx) - sums[x + n + 2],
        known * (ring.yPx - centre.yPx) - sums[y + n + 2],
      ],
      mixedX: sums.subarray(x, x + n),
      mixedY: sums.subarray(y, y + n),
    };
  });
  for (const own of owns) {
    const { mixedX, mixedY } = own;
    const [xx, yx] = solveOwn(own, 1, 0);
    const [xy, yy] = solveOwn(own, 0, 1);
    for (let a = 0; a < n; a++) {
      const throughX = mixedX[a] * xx + mixedY[a] * yx;
      const throughY = mixedX[a] * xy + mixedY[a] * yy;
      for (let b = 0; b < n; b++) normal[a * n + b] -= throughX * mixedX[b] + throughY * mixedY[b];
      right[a] -= throughX * own.right[0] + throughY * own.right[1];
    }
  }
  return { normal, right, owns };
}

/** How a view's centre moves when the common parameters do, px. */
export function centreMove(own: OwnEquations, delta: ArrayLike<number>): readonly [x: number, y: number] {
  let x = 0;
  let y = 0;
  for (let a = 0; a < delta.length; a++) {
    x += own.mixedX[a] * delta[a];
    y += own.mixedY[a] * delta[a];
  }
  return solveOwn(own, own.right[0] - x, own.right[1] - y);
}

/** By elimination, from the row whose first number is larger. */
function solveOwn({ xx, xy, yy }: OwnEquations, x: number, y: number): readonly [x: number, y: number] {
  const isTurned = Math.abs(xy) > Math.abs(xx);
  const [pivot, beside, below, belowBeside] = isTurned ? [xy, yy, xx, xy] : [xx, xy, xy, yy];
  const [top, bottom] = isTurned ? [y, x] : [x, y];
  const factor = below / pivot;
  const last = (bottom - top * factor) / (belowBeside - factor * beside);
  return [(top - last * beside) / pivot, last];
}

/** Kernels broader than this share of the radius are for being drawn in from afar. */
export const fineKernel = 0.025;
