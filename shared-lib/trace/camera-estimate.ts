import type { CameraMotion } from '../contract/trace.ts';
import type { MotionUncertainty } from './camera-motion-uncertainty.ts';

/** The camera's motion in one frame. */
export interface CameraEstimate {
  /** Maps the frame to the first frame, in the conformal coordinates of the estimator's focal length. */
  motion: CameraMotion;
  uncertainty: MotionUncertainty;
  /** Share of the expected background marks that agree on this motion; 0 where the last motion was held. */
  inlierShare: number;
}

/** What lies between two frames, as surely as the first. */
export function between(from: CameraEstimate, to: CameraEstimate, share: number): CameraEstimate {
  if (share === 0) return from;
  const part = (name: keyof CameraMotion): number =>
    from.motion[name] + share * (to.motion[name] - from.motion[name]);
  const motion = {
    scale: part('scale'),
    rotationRad: part('rotationRad'),
    txPx: part('txPx'),
    tyPx: part('tyPx'),
  };
  return { ...from, motion };
}
