import type { Rim } from '../contract/trace.ts';
import { fitEllipse } from './ellipse-fit.ts';
import { ellipseKernel } from './ellipse-kernel.ts';
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
  const kernel = ellipseKernel();
  const compiled = kernel && edges.rays <= kernel.xPx.length ? kernel : null;
  const { xPx, yPx } = compiled ?? {
    xPx: new Float64Array(edges.rays),
    yPx: new Float64Array(edges.rays),
  };
  let n = 0;
  for (let i = 0; i < edges.rays; i++) {
    const expected = expectedOffset(edges, i, shift);
    const k = bestCandidate(edges, i, expected, gatePx);
    if (k < 0) continue;
    xPx[n] = edges.xPx[i] + edges.offsetPx[k] * edges.nx[i];
    yPx[n] = edges.yPx[i] + edges.offsetPx[k] * edges.ny[i];
    n++;
  }
  if (n < 0.4 * edges.rays) return null;
  return compiled
    ? compiled.through(n, start)
    : throughPlainly(xPx.subarray(0, n), yPx.subarray(0, n), start);
}

function throughPlainly(xs: Float64Array, ys: Float64Array, start: Rim): Rim {
  let weights = new Float64Array(xs.length).fill(1);
  let rim: Rim = start;
  for (let iteration = 0; iteration < 5; iteration++) {
    rim = fitEllipse(xs, ys, weights) ?? start;
    const residuals = radialResiduals(rim, xs, ys);
    const sorted = residuals.map(Math.abs).sort();
    const scale = Math.max(0.3, 1.4826 * sorted[sorted.length >> 1]);
    weights = residuals.map((r) => {
      const u = r / (4 * scale);
      return Math.abs(u) < 1 ? (1 - u * u) * (1 - u * u) : 0;
    });
  }
  return rim;
}

/** Signed distances from the ellipse along lines through its centre, pixels; outside is positive. */
function radialResiduals(rim: Rim, xPx: Float64Array, yPx: Float64Array): Float64Array {
  const c = Math.cos(rim.thetaRad);
  const s = Math.sin(rim.thetaRad);
  const residuals = new Float64Array(xPx.length);
  for (let i = 0; i < xPx.length; i++) {
    const dx = xPx[i] - rim.xPx;
    const dy = yPx[i] - rim.yPx;
    const u = c * dx + s * dy;
    const v = c * dy - s * dx;
    const distance = Math.sqrt(u * u + v * v);
    const level = Math.sqrt((u / rim.aPx) * (u / rim.aPx) + (v / rim.bPx) * (v / rim.bPx));
    residuals[i] = level > 0 ? distance - distance / level : -rim.bPx;
  }
  return residuals;
}
