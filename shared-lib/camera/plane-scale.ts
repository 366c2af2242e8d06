import type { Calibration } from '../contract/clip.ts';

/** How the first frame's pixels become places in the bar plane, and how surely. */
export interface PlaneScale extends Pick<
  Calibration,
  | 'metresPerPx'
  | 'rimScaleSigma'
  | 'offSquareRad'
  | 'offSquareSigmaRad'
  | 'rollRad'
  | 'rollSigmaRad'
  | 'plumb'
  | 'camera'
> {
  /** Metres forward and up, from an origin of its own. */
  toPlane: (xPx: number, yPx: number) => readonly [xM: number, yM: number];
}
