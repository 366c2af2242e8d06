import type { CameraMotion } from '../contract/trace.ts';

/** Where a point lands: [x, y]. */
export type Point = readonly [x: number, y: number];

export function applySimilarity(s: CameraMotion, xPx: number, yPx: number): Point {
  const { c, n } = linearOf(s);
  return [c * xPx - n * yPx + s.txPx, n * xPx + c * yPx + s.tyPx];
}

/** The turned and scaled part, worked out once for many points: (x, y) lands at (c x - n y + txPx, n x + c y + tyPx). */
export const linearOf = ({ scale, rotationRad }: CameraMotion): { c: number; n: number } => ({
  c: scale * Math.cos(rotationRad),
  n: scale * Math.sin(rotationRad),
});

/** The similarity that does `inner` first and `outer` after it. */
export function composeSimilarity(outer: CameraMotion, inner: CameraMotion): CameraMotion {
  const [txPx, tyPx] = applySimilarity(outer, inner.txPx, inner.tyPx);
  return { scale: outer.scale * inner.scale, rotationRad: outer.rotationRad + inner.rotationRad, txPx, tyPx };
}

export function invertSimilarity(s: CameraMotion): CameraMotion {
  const turnedBack = { scale: 1 / s.scale, rotationRad: -s.rotationRad, txPx: 0, tyPx: 0 };
  const [x, y] = applySimilarity(turnedBack, s.txPx, s.tyPx);
  return { ...turnedBack, txPx: 0 - x, tyPx: 0 - y };
}

/** Matched points as columns of equal length; `weight` is an inverse variance in px^-2. */
export interface PointPairs {
  fromX: Float64Array;
  fromY: Float64Array;
  toX: Float64Array;
  toY: Float64Array;
  weight: Float64Array;
}

export interface SimilarityFit {
  similarity: CameraMotion;
  /** Weighted centre of the points mapped from. */
  centreXPx: number;
  centreYPx: number;
  /** Sum of the weights, and of the weights times the squared distances from the centre. */
  weightSum: number;
  momentSum: number;
}

/**
 * Weighted least-squares similarity (never a reflection) that maps `from` to `to`; null when fewer than
 * two distinct points carry weight. In the plane Umeyama's closed form (IEEE TPAMI 13(4), 1991) is one
 * complex division: about the centroids, the factor scale·e^(i·rotation) is sum(w conj(p) q) / sum(w |p|²).
 */
export function fitSimilarity(pairs: PointPairs): SimilarityFit | null {
  const { fromX, fromY, toX, toY, weight } = pairs;
  const n = weight.length;
  let weightSum = 0;
  let px = 0;
  let py = 0;
  let qx = 0;
  let qy = 0;
  for (let i = 0; i < n; i++) {
    const w = weight[i];
    weightSum += w;
    px += w * fromX[i];
    py += w * fromY[i];
    qx += w * toX[i];
    qy += w * toY[i];
  }
  if (!(weightSum > 0)) return null;
  px /= weightSum;
  py /= weightSum;
  qx /= weightSum;
  qy /= weightSum;
  let momentSum = 0;
  let along = 0;
  let across = 0;
  for (let i = 0; i < n; i++) {
    const x = fromX[i] - px;
    const y = fromY[i] - py;
    const u = toX[i] - qx;
    const v = toY[i] - qy;
    momentSum += weight[i] * (x * x + y * y);
    along += weight[i] * (x * u + y * v);
    across += weight[i] * (x * v - y * u);
  }
  const factor = Math.hypot(along, across);
  if (!(momentSum > 0) || !(factor > 0)) return null;
  const linear = {
    scale: factor / momentSum,
    rotationRad: Math.atan2(across, along),
    txPx: 0,
    tyPx: 0,
  };
  const [cx, cy] = applySimilarity(linear, px, py);
  const similarity = { ...linear, txPx: qx - cx, tyPx: qy - cy };
  return { similarity, centreXPx: px, centreYPx: py, weightSum, momentSum };
}
