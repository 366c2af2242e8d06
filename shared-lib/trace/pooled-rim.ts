import { median } from 'd3-array';
import type { Rim } from '../contract/trace.ts';

/** Edge models (blur, compression, gamma) shift every edge alike: a floor on the rim's size, pixels, one sigma. */
const edgeBiasPx = 0.25;

/**
 * The clip's rim from the free ellipses of its sharp pictures, each brought to the size it was found with:
 * medians of the quadratic form's coefficients, so that the axes' direction may wrap without harm.
 */
export function pooledRim(
  measurements: readonly { rim: Rim | null }[],
  found: Rim,
): { rim: Rim; sigma: { aPx: number; bPx: number } } {
  const rims = measurements.flatMap((m) => (m.rim ? [m.rim] : []));
  if (rims.length < 5) return { rim: found, sigma: { aPx: 0.01 * found.aPx, bPx: 0.01 * found.aPx } };
  const forms = rims.map(secondMoments);
  const mid = (k: 0 | 1 | 2): number => median(forms, (f) => f[k])!;
  const pooled = ellipseOfMoments(mid(0), mid(1), mid(2));
  const spread = (value: (r: Rim) => number, centre: number): number =>
    1.4826 * median(rims, (r) => Math.abs(value(r) - centre))!;
  // Pictures share their flaws: count every tenth as independent.
  const independent = Math.max(1, rims.length / 10);
  const sigmaOf = (value: (r: Rim) => number, centre: number): number =>
    Math.hypot(edgeBiasPx, spread(value, centre) / Math.sqrt(independent));
  return {
    rim: { xPx: found.xPx, yPx: found.yPx, ...pooled },
    sigma: { aPx: sigmaOf((r) => r.aPx, pooled.aPx), bPx: sigmaOf((r) => r.bPx, pooled.bPx) },
  };
}

/** A rim grown and stretched: its points p moved by (dScale + [along, across; across, -along]) p. */
export function stretched(rim: Rim, dScale: number, [along, across]: readonly [number, number]): Rim {
  const [xx, xy, yy] = secondMoments(rim);
  const m00 = 1 + dScale + along;
  const m11 = 1 + dScale - along;
  const row0 = [m00 * xx + across * xy, m00 * xy + across * yy] as const;
  const row1 = [across * xx + m11 * xy, across * xy + m11 * yy] as const;
  return {
    ...rim,
    ...ellipseOfMoments(
      row0[0] * m00 + row0[1] * across,
      row0[0] * across + row0[1] * m11,
      row1[0] * across + row1[1] * m11,
    ),
  };
}

/** How much taller than wide an ellipse is, log of the ratio, and how far its right side hangs down. */
export function uprightness(rim: Rim): { tall: number; skew: number } {
  const [xx, xy, yy] = secondMoments(rim);
  return { tall: Math.log(yy / xx) / 2, skew: xy / Math.sqrt(xx * yy) };
}

/** The ellipse's matrix R diag(a², b²) Rᵀ as [xx, xy, yy]. */
function secondMoments(rim: Rim): [number, number, number] {
  const c = Math.cos(rim.thetaRad);
  const s = Math.sin(rim.thetaRad);
  const a2 = rim.aPx * rim.aPx;
  const b2 = rim.bPx * rim.bPx;
  return [a2 * c * c + b2 * s * s, (a2 - b2) * c * s, a2 * s * s + b2 * c * c];
}

function ellipseOfMoments(
  xx: number,
  xy: number,
  yy: number,
): { aPx: number; bPx: number; thetaRad: number } {
  const mean = (xx + yy) / 2;
  const half = Math.hypot((xx - yy) / 2, xy);
  let thetaRad = Math.atan2(2 * xy, xx - yy) / 2;
  if (thetaRad <= -Math.PI / 2) thetaRad += Math.PI;
  return { aPx: Math.sqrt(mean + half), bPx: Math.sqrt(Math.max(mean - half, 0)), thetaRad };
}
