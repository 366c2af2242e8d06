import type { Rim } from '../contract/trace.ts';
import { fitEllipse } from './ellipse-fit.ts';
import type { RimEdges } from './rim-edges.ts';
import { expectedOffset, type RimShift } from './rim-fit.ts';
import { bestCandidate } from './rim-vote.ts';

/**
 * Direct least squares through the edges nearest to the shifted rim, within a gate that admits the ellipse's
 * own deviation from it, repeated with Tukey weights. Null where too few edges are near.
 */
export function ellipseThroughEdges(
  edges: RimEdges,
  shift: RimShift,
  start: Rim,
  gatePx: number,
): Rim | null {
  const xs: number[] = [];
  const ys: number[] = [];
  for (let i = 0; i < edges.rays; i++) {
    const expected = expectedOffset(edges, i, shift);
    const k = bestCandidate(edges, i, expected, gatePx);
    if (k < 0) continue;
    xs.push(edges.xPx[i] + edges.offsetPx[k] * edges.nx[i]);
    ys.push(edges.yPx[i] + edges.offsetPx[k] * edges.ny[i]);
  }
  if (xs.length < 0.4 * edges.rays) return null;
  let weights = new Float64Array(xs.length).fill(1);
  let rim: Rim = start;
  for (let iteration = 0; iteration < 5; iteration++) {
    rim = fitEllipse(xs, ys, weights) ?? start;
    const residuals = radialResiduals(rim, xs, ys);
    const sorted = residuals.map(Math.abs).sort();
    const scale = Math.max(0.3, 1.4826 * sorted[sorted.length >> 1]);
    weights = residuals.map((r) => {
      const u = r / (4 * scale);
      return Math.abs(u) < 1 ? (1 - u * u) ** 2 : 0;
    });
  }
  return rim;
}

/** Signed distances from the ellipse along lines through its centre, pixels; outside is positive. */
function radialResiduals(rim: Rim, xPx: readonly number[], yPx: readonly number[]): Float64Array {
  const c = Math.cos(rim.thetaRad);
  const s = Math.sin(rim.thetaRad);
  const residuals = new Float64Array(xPx.length);
  for (let i = 0; i < xPx.length; i++) {
    const dx = xPx[i] - rim.xPx;
    const dy = yPx[i] - rim.yPx;
    const u = c * dx + s * dy;
    const v = c * dy - s * dx;
    const distance = Math.sqrt(u * u + v * v);
    const level = Math.sqrt((u / rim.aPx) ** 2 + (v / rim.bPx) ** 2);
    residuals[i] = level > 0 ? distance - distance / level : -rim.bPx;
  }
  return residuals;
}
