/**
 * How surely a camera motion is known: the standard variance of the shift it gives at a point is `shiftVarPx2`
 * at (xPx, yPx) and grows by `turnVarRad2` times the squared distance from there. Per coordinate.
 */
export interface MotionUncertainty {
  xPx: number;
  yPx: number;
  shiftVarPx2: number;
  turnVarRad2: number;
}

export const noUncertainty: MotionUncertainty = { xPx: 0, yPx: 0, shiftVarPx2: 0, turnVarRad2: 0 };

/** Standard uncertainty of each coordinate of the shift at a point, px. */
export function shiftSigmaPx(u: MotionUncertainty, xPx: number, yPx: number): number {
  return Math.sqrt(u.shiftVarPx2 + u.turnVarRad2 * ((xPx - u.xPx) ** 2 + (yPx - u.yPx) ** 2));
}

/** Of two independent motions done one after the other. The sum of two such quadratics is one again. */
export function addUncertainty(a: MotionUncertainty, b: MotionUncertainty): MotionUncertainty {
  const turnVarRad2 = a.turnVarRad2 + b.turnVarRad2;
  const share = turnVarRad2 > 0 ? a.turnVarRad2 / turnVarRad2 : 0.5;
  const xPx = share * a.xPx + (1 - share) * b.xPx;
  const yPx = share * a.yPx + (1 - share) * b.yPx;
  const shiftVarPx2 = shiftSigmaPx(a, xPx, yPx) ** 2 + shiftSigmaPx(b, xPx, yPx) ** 2;
  return { xPx, yPx, shiftVarPx2, turnVarRad2 };
}
