/**
 * Where the disc should be in the next picture: a constant-velocity Kalman filter per axis, both axes with
 * the same gains. It only predicts; the trace itself is smoothed later from the stored measurements.
 */
export interface DiscMotion {
  tS: number;
  xPx: number;
  yPx: number;
  vxPx: number;
  vyPx: number;
  /** Covariance of position and velocity, one axis. */
  ppPx2: number;
  pv: number;
  vv: number;
}

/** Accelerations that a loaded bar reaches outside impacts, one sigma, m/s²: common practice. */
const accelerationMps2 = 10;

export function startMotion(tS: number, xPx: number, yPx: number, pxPerM: number): DiscMotion {
  const fastest = 0.5 * pxPerM;
  return { tS, xPx, yPx, vxPx: 0, vyPx: 0, ppPx2: 1, pv: 0, vv: fastest * fastest };
}

export function predictMotion(motion: DiscMotion, tS: number, pxPerM: number): DiscMotion {
  const dt = tS - motion.tS;
  const q = (accelerationMps2 * pxPerM) ** 2;
  const { ppPx2, pv, vv } = motion;
  return {
    tS,
    xPx: motion.xPx + motion.vxPx * dt,
    yPx: motion.yPx + motion.vyPx * dt,
    vxPx: motion.vxPx,
    vyPx: motion.vyPx,
    ppPx2: ppPx2 + 2 * dt * pv + dt * dt * vv + (q * dt ** 4) / 4,
    pv: pv + dt * vv + (q * dt ** 3) / 2,
    vv: vv + q * dt * dt,
  };
}

export function correctMotion(motion: DiscMotion, xPx: number, yPx: number, variancePx2: number): DiscMotion {
  const s = motion.ppPx2 + variancePx2;
  const kp = motion.ppPx2 / s;
  const kv = motion.pv / s;
  const rx = xPx - motion.xPx;
  const ry = yPx - motion.yPx;
  return {
    tS: motion.tS,
    xPx: motion.xPx + kp * rx,
    yPx: motion.yPx + kp * ry,
    vxPx: motion.vxPx + kv * rx,
    vyPx: motion.vyPx + kv * ry,
    ppPx2: (1 - kp) * motion.ppPx2,
    pv: (1 - kp) * motion.pv,
    vv: motion.vv - kv * motion.pv,
  };
}
