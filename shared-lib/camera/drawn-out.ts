import type { MediaInfo } from '../contract/clip.ts';
import type { ReadOut, Rim } from '../contract/trace.ts';

/**
 * How what moves is drawn out of shape in a picture whose rows are read one after another: how far to the right (x) and down (y)
 * a point is drawn for each pixel that it lies right of (x) and below (y) the middle.
 */
export interface DrawnOut {
  xx: number;
  xy: number;
  yx: number;
  yy: number;
}

export type ReadPicture = Pick<MediaInfo, 'widthPx' | 'heightPx' | 'rotationDeg'>;

/** Which way rows are read in the picture as displayed, and over how many pixels. */
export function readingWay({ widthPx, heightPx, rotationDeg }: ReadPicture): {
  along: 'x' | 'y';
  sign: 1 | -1;
  sizePx: number;
} {
  // The sensor reads its rows downward; a clockwise turn by 90 degrees for display makes its top the right side.
  return rotationDeg === 0 || rotationDeg === 180
    ? { along: 'y', sign: rotationDeg === 0 ? 1 : -1, sizePx: heightPx }
    : { along: 'x', sign: rotationDeg === 270 ? 1 : -1, sizePx: widthPx };
}

/**
 * What a camera that takes so long to read its rows makes of a disc that moves at a speed: a row that is read later shows it
 * farther on.
 *
 * @param readOut as measured; by how surely it is known it is taken for less
 * @param speed pixels per second of file time
 */
export function drawnOutBy(
  { s, sigmaS }: ReadOut,
  picture: ReadPicture,
  speed: { x: number; y: number },
): DrawnOut {
  const { along, sign, sizePx } = readingWay(picture);
  const likelyS = s > 0 ? (s * s * s) / (s * s + sigmaS * sigmaS) : 0;
  const laterS = (sign * likelyS) / sizePx;
  const [x, y] = [speed.x * laterS, speed.y * laterS];
  return along === 'y' ? { xx: 0, xy: x, yx: 0, yy: y } : { xx: x, xy: 0, yx: y, yy: 0 };
}

/** The greatest share by which one is drawn out more or less than the other. */
export const drawnApart = (one: DrawnOut, other: DrawnOut): number =>
  Math.max(
    Math.abs(one.xx - other.xx),
    Math.abs(one.xy - other.xy),
    Math.abs(one.yx - other.yx),
    Math.abs(one.yy - other.yy),
  );

/** Points where they would lie if nothing were drawn out, nor moved to the right and down by a shift, about a place. */
export function putBack<Points extends { xPx: Float64Array; yPx: Float64Array }>(
  points: Points,
  { xx, xy, yx, yy }: DrawnOut,
  about: { xPx: number; yPx: number },
  shift = { right: 0, down: 0 },
): Points {
  const det = (1 + xx) * (1 + yy) - xy * yx;
  const back = { ...points, xPx: points.xPx.slice(), yPx: points.yPx.slice() };
  for (let k = 0; k < back.xPx.length; k++) {
    const x = points.xPx[k] - shift.right - about.xPx;
    const y = points.yPx[k] - shift.down - about.yPx;
    back.xPx[k] = about.xPx + ((1 + yy) * x - xy * y) / det;
    back.yPx[k] = about.yPx + ((1 + xx) * y - yx * x) / det;
  }
  return back;
}

/** A rim as it is drawn. */
export function drawnRim(rim: Rim, { xx, xy, yx, yy }: DrawnOut): Rim {
  const [cos, sin] = [Math.cos(rim.thetaRad), Math.sin(rim.thetaRad)];
  // Where its two axes come to lie; the ellipse of their sum of squares is the rim's.
  const [ax, ay] = [rim.aPx * cos, rim.aPx * sin];
  const [bx, by] = [-rim.bPx * sin, rim.bPx * cos];
  const [px, py] = [(1 + xx) * ax + xy * ay, yx * ax + (1 + yy) * ay];
  const [qx, qy] = [(1 + xx) * bx + xy * by, yx * bx + (1 + yy) * by];
  const [sxx, sxy, syy] = [px * px + qx * qx, px * py + qx * qy, py * py + qy * qy];
  const mean = (sxx + syy) / 2;
  const apart = Math.hypot((sxx - syy) / 2, sxy);
  return {
    ...rim,
    aPx: Math.sqrt(mean + apart),
    bPx: Math.sqrt(mean - apart),
    thetaRad: apart > 0 ? Math.atan2(2 * sxy, sxx - syy) / 2 : rim.thetaRad,
  };
}
