/**
 * The one place that knows how a stored picture becomes the picture displayed. Stored sizes are before the
 * turn and in stored pixels; displayed sizes are after it, in square pixels.
 */

/** Clockwise turn applied for display, degrees. */
export type Turn = 0 | 90 | 180 | 270;

/** The nearest quarter turn in [0, 360) of any angle, clockwise degrees. */
export function quarterTurn(clockwiseDeg: number): Turn {
  const quarters = Math.round(clockwiseDeg / 90) % 4;
  return (((quarters + 4) % 4) * 90) as Turn;
}

/** ffprobe's display matrix angle counts counter-clockwise (-90 for a quarter turn clockwise). */
export function turnFromFfprobe(rotationDeg: number): Turn {
  return quarterTurn(-rotationDeg);
}

/**
 * Size in square pixels after the turn. Oblong pixels are stretched along their longer side, so that
 * nothing is thrown away.
 *
 * @param pixelAspect width over height of a stored pixel
 */
export function displayedSize(
  stored: { widthPx: number; heightPx: number },
  pixelAspect: number,
  turn: Turn,
): { widthPx: number; heightPx: number } {
  const widthPx = pixelAspect > 1 ? Math.round(stored.widthPx * pixelAspect) : stored.widthPx;
  const heightPx = pixelAspect < 1 ? Math.round(stored.heightPx / pixelAspect) : stored.heightPx;
  return turn % 180 === 0 ? { widthPx, heightPx } : { widthPx: heightPx, heightPx: widthPx };
}

/** The size scaled down, where its longer side exceeds `maxSidePx`, to whole pixels and at least one. */
export function fittedSize(
  width: number,
  height: number,
  maxSidePx: number | undefined,
): { widthPx: number; heightPx: number } {
  const factor = maxSidePx === undefined ? 1 : Math.min(1, maxSidePx / Math.max(width, height));
  return {
    widthPx: Math.max(1, Math.round(width * factor)),
    heightPx: Math.max(1, Math.round(height * factor)),
  };
}
