import type { CameraSpec } from '../../../demo-data/scene/spec.ts';

/** A camera that stands square and still, 1 m high and 3.5 m away. */
export const tripod: CameraSpec = {
  xM: 0,
  yM: 1,
  zM: 3.5,
  panRad: 0,
  tiltRad: 0,
  rollRad: 0,
  focalPx: 1000,
  shakePx: 0,
  sweepPanRad: 0,
  sweepTiltRad: 0,
  zoomDrift: 0,
  lensK1: 0,
  lensK2: 0,
};
