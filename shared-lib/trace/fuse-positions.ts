/** A position with its covariance, pixels. */
export interface Position {
  xPx: number;
  yPx: number;
  varXPx2: number;
  varYPx2: number;
  covXYPx2: number;
}

/** Two independent measurements of one position, weighted by the inverses of their covariances. */
export function fusePositions(one: Position, other: Position): Position {
  const a = inverted(one);
  const b = inverted(other);
  const xx = a.xx + b.xx;
  const xy = a.xy + b.xy;
  const yy = a.yy + b.yy;
  const det = xx * yy - xy * xy;
  const rx = a.xx * one.xPx + a.xy * one.yPx + b.xx * other.xPx + b.xy * other.yPx;
  const ry = a.xy * one.xPx + a.yy * one.yPx + b.xy * other.xPx + b.yy * other.yPx;
  return {
    xPx: (yy * rx - xy * ry) / det,
    yPx: (xx * ry - xy * rx) / det,
    varXPx2: yy / det,
    varYPx2: xx / det,
    covXYPx2: -xy / det,
  };
}

/** Squared distance of two positions in units of what they state: chi-square of two degrees of freedom where both are true. */
export function misfit(one: Position, other: Position): number {
  const inverse = inverted({
    xPx: 0,
    yPx: 0,
    varXPx2: one.varXPx2 + other.varXPx2,
    varYPx2: one.varYPx2 + other.varYPx2,
    covXYPx2: one.covXYPx2 + other.covXYPx2,
  });
  const dx = one.xPx - other.xPx;
  const dy = one.yPx - other.yPx;
  return inverse.xx * dx * dx + 2 * inverse.xy * dx * dy + inverse.yy * dy * dy;
}

function inverted(p: Position): { xx: number; xy: number; yy: number } {
  const det = p.varXPx2 * p.varYPx2 - p.covXYPx2 * p.covXYPx2;
  return { xx: p.varYPx2 / det, xy: -p.covXYPx2 / det, yy: p.varXPx2 / det };
}
