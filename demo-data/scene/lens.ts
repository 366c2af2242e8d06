/**
 * A lens that bends the straight picture of a pinhole: a point at distance r from the middle, in focal lengths, lands at
 * r (1 + k1 r² + k2 r⁴) (Brown's radial terms; from memory). Below zero a picture bulges as wide lenses make it.
 */
export interface Lens {
  k1: number;
  k2: number;
  focalPx: number;
  cxPx: number;
  cyPx: number;
  widthPx: number;
  /** For every pixel of the picture, row by row, the place (x, y) that it has in the straight picture. */
  straightPx: Float32Array;
}

export interface PicturePoint {
  xPx: number;
  yPx: number;
}

type Bend = Pick<Lens, 'k1' | 'k2' | 'focalPx' | 'cxPx' | 'cyPx'>;

/** Where the lens puts a point of the straight picture. */
export function bent({ k1, k2, focalPx, cxPx, cyPx }: Bend, { xPx, yPx }: PicturePoint): PicturePoint {
  const dx = xPx - cxPx;
  const dy = yPx - cyPx;
  const r2 = (dx * dx + dy * dy) / (focalPx * focalPx);
  const k = 1 + r2 * (k1 + k2 * r2);
  return { xPx: cxPx + k * dx, yPx: cyPx + k * dy };
}

/** The point of the straight picture that the lens puts here: Newton's steps on the radius. */
export function straightened(
  { k1, k2, focalPx, cxPx, cyPx }: Bend,
  { xPx, yPx }: PicturePoint,
): PicturePoint {
  const dx = xPx - cxPx;
  const dy = yPx - cyPx;
  const seen = Math.sqrt(dx * dx + dy * dy) / focalPx;
  if (seen === 0) return { xPx, yPx };
  let r = seen;
  for (let step = 0; step < 6; step++) {
    const r2 = r * r;
    r -= (r * (1 + r2 * (k1 + k2 * r2)) - seen) / (1 + r2 * (3 * k1 + 5 * k2 * r2));
  }
  return { xPx: cxPx + (dx * r) / seen, yPx: cyPx + (dy * r) / seen };
}

/** The lens of a picture, or null where it bends nothing. */
export function makeLens(
  k1: number,
  k2: number,
  focalPx: number,
  widthPx: number,
  heightPx: number,
): Lens | null {
  if (k1 === 0 && k2 === 0) return null;
  const bend = { k1, k2, focalPx, cxPx: (widthPx - 1) / 2, cyPx: (heightPx - 1) / 2 };
  const straightPx = new Float32Array(2 * widthPx * heightPx);
  for (let j = 0, at = 0; j < heightPx; j++)
    for (let i = 0; i < widthPx; i++, at += 2) {
      const p = straightened(bend, { xPx: i, yPx: j });
      straightPx[at] = p.xPx;
      straightPx[at + 1] = p.yPx;
    }
  return { ...bend, widthPx, straightPx };
}
