import type { Motion } from '../contract/motion.ts';
import type { RepEvents } from '../contract/rep.ts';
import type { MeasuredClip } from './measured-clip.ts';
import type { SourceDraw } from './sources.ts';

/** What the error sources need to know of the rep they act on. */
export interface RepGeometry {
  /** Start and end of the rep, real seconds. */
  startS: number;
  endS: number;
  /** The bar at the start, metres in the bar plane, and the height travelled. */
  startXM: number;
  startYM: number;
  rangeM: number;
  discRadiusM: number;
  offSquareRad: number;
  /** Delay of the read-out along x and y per metre and per second of read-out time: 1/m. */
  readOutX: number;
  readOutY: number;
}

/** Index of the sample nearest to a time, kept inside the motion. */
function indexAt(motion: Motion, tS: number): number {
  const i = Math.round((tS - motion.t0S) / motion.dtS);
  return Math.min(Math.max(i, 0), motion.xM.length - 1);
}

/** Reads the geometry of one rep off its motion and the clip's calibration. */
export function repGeometry(
  clip: Pick<MeasuredClip, 'calibration' | 'picture'>,
  motion: Motion,
  events: RepEvents,
): RepGeometry {
  const { calibration: c, picture } = clip;
  const endS = events.lockoutS ?? motion.t0S + (motion.xM.length - 1) * motion.dtS;
  const i0 = indexAt(motion, events.startS);
  const i1 = indexAt(motion, endS);
  let lo = Infinity;
  let hi = -Infinity;
  for (let i = i0; i <= i1; i++) {
    if (motion.yM[i] < lo) lo = motion.yM[i];
    if (motion.yM[i] > hi) hi = motion.yM[i];
  }
  // The sensor reads its rows downward; a picture turned for display is read across or upward.
  const perM = (sizePx: number) => 1 / (sizePx * c.metresPerPx);
  const facing = c.facing === 'right' ? 1 : -1;
  const across = picture.rotationDeg === 270 ? 1 : picture.rotationDeg === 90 ? -1 : 0;
  const down = picture.rotationDeg === 0 ? 1 : picture.rotationDeg === 180 ? -1 : 0;
  return {
    startS: events.startS,
    endS,
    startXM: motion.xM[i0],
    startYM: motion.yM[i0],
    rangeM: Math.max(hi - lo, 0.01),
    discRadiusM: c.discM / 2,
    offSquareRad: c.offSquareRad,
    readOutX: across * facing * perM(picture.widthPx),
    readOutY: -down * perM(picture.heightPx),
  };
}

/** Where a motion's samples go. */
export type MotionRoom = Pick<Motion, 'xM' | 'yM' | 'vxMps' | 'vyMps'>;

export const roomFor = ({ xM: { length } }: Motion): MotionRoom => ({
  xM: new Float64Array(length),
  yM: new Float64Array(length),
  vxMps: new Float64Array(length),
  vyMps: new Float64Array(length),
});

/**
 * The motion as it would be if the drawn errors were the true ones: what was measured with each error taken
 * back. Positions and velocities are moved together, by the chain rule.
 *
 * - A sample labelled t was captured at t + readOut (readOutX X + readOutY Y) + j(t), with j the error of
 *   the frame times: a rising bar filmed with a read-out down the picture reads too slow by the factor
 *   1 - v_px T / H (v_px pixels per second upward, T read-out time, H picture height).
 * - Run-out is a vector of fixed length that turns with the height travelled.
 * - Sideways travel z leaks into x by tan(off square) and, like travel along an oblique plane, brings the disc
 *   nearer or farther, which changes the scale about the lens axis by depth / camera distance.
 *
 * @param room for a motion of as many samples, where the result goes
 */
export function applySources(
  motion: Motion,
  draw: SourceDraw,
  geometry: RepGeometry,
  room: MotionRoom = roomFor(motion),
): Motion {
  const { t0S, dtS, xM, yM, vxMps, vyMps } = motion;
  const n = xM.length;
  const { xM: outXM, yM: outYM, vxMps: outVxMps, vyMps: outVyMps } = room;
  const g = geometry;
  const kX = draw.readOutS * g.readOutX;
  const kY = draw.readOutS * g.readOutY;
  const jitter = draw.frameTimeS * Math.SQRT2;
  const omega = (2 * Math.PI) / draw.frameTimePeriodS;
  const cosR = Math.cos(draw.rollRad);
  const sinR = Math.sin(draw.rollRad);
  const scale = (1 + draw.discDiameter) * (1 + draw.rimScale) * (1 + draw.lensScale);
  // Beyond 60 degrees nothing horizontal is left to correct.
  const trueAngle = Math.min(Math.abs(g.offSquareRad + draw.offSquareRad), Math.PI / 3);
  const stretch = Math.cos(g.offSquareRad) / Math.cos(trueAngle);
  const leak = Math.tan(trueAngle);
  const nearer = Math.cos(trueAngle) / draw.cameraDistanceM;
  const nearerX = (draw.tiltSide * Math.sin(trueAngle)) / draw.cameraDistanceM;
  const turnPerM = draw.runOutTurn / g.discRadiusM;
  const durationS = Math.max(g.endS - g.startS, dtS);

  // The frame times' sine and cosine are turned on from sample to sample: as good as anew, and much faster.
  let sin = Math.sin(omega * t0S + draw.frameTimePhaseRad);
  let cos = Math.cos(omega * t0S + draw.frameTimePhaseRad);
  const sinStep = Math.sin(omega * dtS);
  const cosStep = Math.cos(omega * dtS);

  for (let i = 0; i < n; i++) {
    // When was the picture taken that shows this moment?
    const t = t0S + i * dtS;
    const lateBy = kX * (xM[i] - g.startXM) + kY * (yM[i] - g.startYM) + jitter * sin;
    const lateRate = kX * vxMps[i] + kY * vyMps[i] + jitter * omega * cos;
    const rate = 1 / (1 + lateRate);
    const turned = sin * cosStep + cos * sinStep;
    cos = cos * cosStep - sin * sinStep;
    sin = turned;
    const at = Math.min(Math.max(i - (lateBy * rate) / dtS, 0), n - 1);
    const k = Math.min(Math.floor(at), n - 2);
    const f = at - k;
    let x = (1 - f) * xM[k] + f * xM[k + 1] - g.startXM;
    let y = (1 - f) * yM[k] + f * yM[k + 1] - g.startYM;
    let vx = ((1 - f) * vxMps[k] + f * vxMps[k + 1]) * rate;
    let vy = ((1 - f) * vyMps[k] + f * vyMps[k + 1]) * rate;

    const progress = Math.min(Math.max((t - g.startS) / durationS, 0), 1);
    const travel = progress * progress * (3 - 2 * progress);
    const travelRate = (6 * progress * (1 - progress)) / durationS;
    const z = (-draw.sidewaysDepthM * y) / g.rangeM + draw.sidewaysTravelM * travel;
    const vz = (-draw.sidewaysDepthM * vy) / g.rangeM + draw.sidewaysTravelM * travelRate;

    const phi = draw.runOutPhaseRad + turnPerM * y;
    const cosP = draw.runOutM * Math.cos(phi);
    const sinP = draw.runOutM * Math.sin(phi);
    x -= cosP;
    y -= sinP;
    const phiRate = turnPerM * vy;
    vx += sinP * phiRate;
    vy -= cosP * phiRate;

    const xr = cosR * x - sinR * y;
    const yr = sinR * x + cosR * y - draw.axisHeightM;
    const vxr = cosR * vx - sinR * vy;
    const vyr = sinR * vx + cosR * vy;

    const magnify = 1 + nearer * z + nearerX * xr;
    const magnifyRate = nearer * vz + nearerX * vxr;
    outXM[i] = g.startXM + scale * (stretch * magnify * xr + leak * z);
    outYM[i] = g.startYM + scale * (magnify * yr + draw.axisHeightM);
    outVxMps[i] = scale * (stretch * (magnify * vxr + magnifyRate * xr) + leak * vz);
    outVyMps[i] = scale * (magnify * vyr + magnifyRate * yr);
  }
  return { t0S, dtS, ...room };
}
