import type { Motion } from '../contract/motion.ts';
import type { RepEvents } from '../contract/rep.ts';
import { type DrawKernel, drawKernel, liesIn, type MotionRoom, roomOf } from '../motion/draw-kernel.ts';
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

/** Room for motions of as many samples; where compiled code runs it is the same for all, and the next motion goes there too. */
export function roomFor({ xM: { length } }: Motion): MotionRoom {
  const kernel = drawKernel();
  return kernel && length > 1 && length <= kernel.most ? roomOf(kernel.motionOut, length) : ownRoom(length);
}

const ownRoom = (length: number): MotionRoom => ({
  xM: new Float64Array(length),
  yM: new Float64Array(length),
  vxMps: new Float64Array(length),
  vyMps: new Float64Array(length),
});

/** What drawn errors come down to in one motion, in the order in which the compiled code reads it. */
const figures = [
  ...['t0S', 'dtS', 'kX', 'kY', 'jitter', 'omega', 'sin0', 'cos0', 'sinStep', 'cosStep'],
  ...['cosR', 'sinR', 'scale', 'stretch', 'leak', 'nearer', 'nearerX', 'turnPerM', 'runOutM'],
  ...['runOutPhaseRad', 'axisHeightM', 'sidewaysTravelM', 'sideways', 'startXM', 'startYM', 'startS'],
  ...['perDuration', 'perStep'],
] as const;
type Errors = Record<(typeof figures)[number], number>;

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
  room: MotionRoom = ownRoom(motion.xM.length),
): Motion {
  const { t0S, dtS } = motion;
  const errors = errorsOf(motion, draw, geometry);
  const kernel = drawKernel();
  if (kernel && liesIn(kernel.motionOut, room)) takeBackCompiled(kernel, motion, errors);
  else takeBackPlainly(motion, errors, room);
  return { t0S, dtS, ...room };
}

function errorsOf({ t0S, dtS }: Motion, draw: SourceDraw, g: RepGeometry): Errors {
  const omega = (2 * Math.PI) / draw.frameTimePeriodS;
  // Beyond 60 degrees nothing horizontal is left to correct.
  const trueAngle = Math.min(Math.abs(g.offSquareRad + draw.offSquareRad), Math.PI / 3);
  return {
    t0S,
    dtS,
    kX: draw.readOutS * g.readOutX,
    kY: draw.readOutS * g.readOutY,
    jitter: draw.frameTimeS * Math.SQRT2,
    omega,
    sin0: Math.sin(omega * t0S + draw.frameTimePhaseRad),
    cos0: Math.cos(omega * t0S + draw.frameTimePhaseRad),
    sinStep: Math.sin(omega * dtS),
    cosStep: Math.cos(omega * dtS),
    cosR: Math.cos(draw.rollRad),
    sinR: Math.sin(draw.rollRad),
    scale: (1 + draw.discDiameter) * (1 + draw.rimScale) * (1 + draw.lensScale),
    stretch: Math.cos(g.offSquareRad) / Math.cos(trueAngle),
    leak: Math.tan(trueAngle),
    nearer: Math.cos(trueAngle) / draw.cameraDistanceM,
    nearerX: (draw.tiltSide * Math.sin(trueAngle)) / draw.cameraDistanceM,
    turnPerM: draw.runOutTurn / g.discRadiusM,
    runOutM: draw.runOutM,
    runOutPhaseRad: draw.runOutPhaseRad,
    axisHeightM: draw.axisHeightM,
    sidewaysTravelM: draw.sidewaysTravelM,
    sideways: -draw.sidewaysDepthM / g.rangeM,
    startXM: g.startXM,
    startYM: g.startYM,
    startS: g.startS,
    perDuration: 1 / Math.max(g.endS - g.startS, dtS),
    perStep: 1 / dtS,
  };
}

function takeBackCompiled(kernel: DrawKernel, motion: Motion, errors: Errors): void {
  const n = motion.xM.length;
  if (!liesIn(kernel.motionIn, motion))
    for (const name of ['xM', 'yM', 'vxMps', 'vyMps'] as const) kernel.motionIn[name].set(motion[name]);
  figures.forEach((name, k) => (kernel.sources[k] = errors[name]));
  kernel.run.drawTakenBack(n);
}

/** A run-out that turns by less than this from one sample to the next is turned on, radians. */
const smallTurnRad = 0.1;

function takeBackPlainly({ xM, yM, vxMps, vyMps }: Motion, errors: Errors, room: MotionRoom): void {
  const n = xM.length;
  const { t0S, dtS, kX, kY, jitter, omega, sin0, cos0, sinStep, cosStep, cosR, sinR, scale } = errors;
  const { stretch, leak, nearer, nearerX, turnPerM, runOutM, runOutPhaseRad, axisHeightM } = errors;
  const { sidewaysTravelM, sideways, startXM, startYM, startS, perDuration, perStep } = errors;
  const { xM: outXM, yM: outYM, vxMps: outVxMps, vyMps: outVyMps } = room;

  // Sines and cosines are turned on from sample to sample: as good as anew, and much faster.
  let sin = sin0;
  let cos = cos0;
  let phi = NaN;
  let sinPhi = NaN;
  let cosPhi = NaN;

  for (let i = 0; i < n; i++) {
    // When was the picture taken that shows this moment?
    const t = t0S + i * dtS;
    const lateBy = kX * (xM[i] - startXM) + kY * (yM[i] - startYM) + jitter * sin;
    const lateRate = kX * vxMps[i] + kY * vyMps[i] + jitter * omega * cos;
    const rate = 1 / (1 + lateRate);
    const turned = sin * cosStep + cos * sinStep;
    cos = cos * cosStep - sin * sinStep;
    sin = turned;
    const at = Math.min(Math.max(i - lateBy * rate * perStep, 0), n - 1);
    const k = Math.min(Math.floor(at), n - 2);
    const f = at - k;
    let x = (1 - f) * xM[k] + f * xM[k + 1] - startXM;
    let y = (1 - f) * yM[k] + f * yM[k + 1] - startYM;
    let vx = ((1 - f) * vxMps[k] + f * vxMps[k + 1]) * rate;
    let vy = ((1 - f) * vyMps[k] + f * vyMps[k + 1]) * rate;

    const progress = Math.min(Math.max((t - startS) * perDuration, 0), 1);
    const travel = progress * progress * (3 - 2 * progress);
    const travelRate = 6 * progress * (1 - progress) * perDuration;
    const z = sideways * y + sidewaysTravelM * travel;
    const vz = sideways * vy + sidewaysTravelM * travelRate;

    const phiNow = runOutPhaseRad + turnPerM * y;
    const d = phiNow - phi;
    if (Math.abs(d) < smallTurnRad) {
      // Taylor's series: the first term left out is below 1e-16 of the last kept.
      const d2 = d * d;
      const sinD = d * (1 - d2 * (1 / 6) * (1 - d2 * (1 / 20) * (1 - d2 * (1 / 42))));
      const cosD = 1 - d2 * 0.5 * (1 - d2 * (1 / 12) * (1 - d2 * (1 / 30) * (1 - d2 * (1 / 56))));
      const sinNow = sinPhi * cosD + cosPhi * sinD;
      cosPhi = cosPhi * cosD - sinPhi * sinD;
      sinPhi = sinNow;
    } else {
      sinPhi = Math.sin(phiNow);
      cosPhi = Math.cos(phiNow);
    }
    phi = phiNow;
    const cosP = runOutM * cosPhi;
    const sinP = runOutM * sinPhi;
    x -= cosP;
    y -= sinP;
    const phiRate = turnPerM * vy;
    vx += sinP * phiRate;
    vy -= cosP * phiRate;

    const xr = cosR * x - sinR * y;
    const yr = sinR * x + cosR * y - axisHeightM;
    const vxr = cosR * vx - sinR * vy;
    const vyr = sinR * vx + cosR * vy;

    const magnify = 1 + nearer * z + nearerX * xr;
    const magnifyRate = nearer * vz + nearerX * vxr;
    outXM[i] = startXM + scale * (stretch * magnify * xr + leak * z);
    outYM[i] = startYM + scale * (magnify * yr + axisHeightM);
    outVxMps[i] = scale * (stretch * (magnify * vxr + magnifyRate * xr) + leak * vz);
    outVyMps[i] = scale * (magnify * vyr + magnifyRate * yr);
  }
}
