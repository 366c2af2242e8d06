import type { Rim } from '../contract/trace.ts';
import type { Matrix2 } from './matrix2.ts';
import { meanRadius } from '../picture/rim-radii.ts';

export interface RimScale {
  /** Picture offsets (px, y down) to offsets in the disc's plane (metres, y down, the picture's vertical not yet upright). */
  metresFromPx: Matrix2;
  /** Along the direction that is not foreshortened. */
  metresPerPx: number;
  /** One sigma, relative. */
  rimScaleSigma: number;
  offSquareRad: number;
  offSquareSigmaRad: number;
}

/** An axis ratio this many sigmas below 1 tells of an oblique view; nearer to 1 the rim counts as a circle. */
const significant = 2;

/**
 * Scale and foreshortening from the disc's rim: the affine map, without turn, that makes its ellipse a circle
 * of the disc's radius. Off-square angle acos(b / a), from 0 to pi/2; its sign stays open.
 *
 * @param rimSigma one sigma of each semi-axis, px
 */
export function rimScale(rim: Rim, rimSigma: { aPx: number; bPx: number }, discM: number): RimScale {
  const radiusM = discM / 2;
  const ratio = rim.bPx / rim.aPx;
  const aRelative = rimSigma.aPx / rim.aPx;
  const bRelative = rimSigma.bPx / rim.bPx;
  const ratioSigma = ratio * Math.hypot(aRelative, bRelative);
  const angle = (r: number): number => Math.acos(Math.min(1, Math.max(0, r)));
  if (1 - ratio <= significant * ratioSigma) {
    const metresPerPx = radiusM / meanRadius(rim);
    return {
      metresFromPx: [metresPerPx, 0, 0, metresPerPx],
      metresPerPx,
      rimScaleSigma: Math.hypot(aRelative, bRelative) / 2,
      offSquareRad: 0,
      // A ratio below 1 by what was seen and one sigma: as oblique as the view may well be unnoticed.
      offSquareSigmaRad: angle(ratio - ratioSigma),
    };
  }
  const along = radiusM / rim.aPx;
  const across = radiusM / rim.bPx;
  const c = Math.cos(rim.thetaRad);
  const s = Math.sin(rim.thetaRad);
  const xy = (along - across) * c * s;
  return {
    metresFromPx: [along * c * c + across * s * s, xy, xy, along * s * s + across * c * c],
    metresPerPx: along,
    rimScaleSigma: aRelative,
    offSquareRad: angle(ratio),
    offSquareSigmaRad: (angle(ratio - ratioSigma) - angle(ratio + ratioSigma)) / 2,
  };
}
