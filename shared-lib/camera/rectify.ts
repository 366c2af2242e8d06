import type { Calibration, MediaInfo } from '../contract/clip.ts';
import { Failure } from '../contract/errors.ts';
import type { Facing } from '../contract/lift.ts';
import type { PlaneTrace } from '../contract/motion.ts';
import { medianInterval } from '../motion/smoothing.ts';
import type { CameraMotion, Trace } from '../contract/trace.ts';
import { straightened } from './lens-bow.ts';
import { multiply, type Matrix2 } from './matrix2.ts';
import type { PlaneScale } from './plane-scale.ts';
import type { PlumbLine } from './plumb.ts';
import { likelyReadOut, readingShare } from './read-out.ts';
import { scaleByPose } from './scale-by-pose.ts';
import { inFirstFrame, scaleByRim } from './scale-by-rim.ts';

export interface BarPlaneOptions {
  discM: number;
  /** One sigma of the diameter, metres; see disc-size.ts. */
  discSigmaM: number;
  discOffsetM?: number;
  /** An upright in the first frame; without one the background's upright edges say what is up, or else the picture's vertical. */
  plumb?: PlumbLine;
  /** Who drew it; the user unless said otherwise. */
  plumbSource?: 'proposed' | 'user';
  /** Displayed size, for what the lens bends and when rows are read, and for the upright edges where the camera's pose is unknown. */
  picture?: Pick<MediaInfo, 'widthPx' | 'heightPx' | 'rotationDeg'>;
  /** Which way the lifter faces in the picture. */
  facing: Facing;
  /** Capture rate over playback rate. */
  slowMotion: number;
  slowMotionSource: Calibration['slowMotionSource'];
  seed: Calibration['seed'];
}

/** A camera's turn and growth as a matrix. */
function linearPart(camera: CameraMotion): Matrix2 {
  const c = camera.scale * Math.cos(camera.rotationRad);
  const n = camera.scale * Math.sin(camera.rotationRad);
  return [c, -n, n, c];
}

const stateCode = { seen: 0, bridged: 1, lost: 2 } as const;

/**
 * A trace in pixels as a trace in the bar plane: camera motion taken out, the rim turned back into a circle of
 * the disc's size, the disc's nearness along the path allowed for, up set by the plumb line, real time.
 * The origin is anywhere; a rep sets its own.
 *
 * @throws Failure when the trace holds no sample with a position, or an option makes no sense
 */
export function toBarPlane(
  trace: Trace,
  options: BarPlaneOptions,
): { plane: PlaneTrace; calibration: Calibration } {
  check(trace, options);
  const { discM, discSigmaM, discOffsetM, facing, slowMotion, slowMotionSource, seed } = options;
  const { toPlane, ...scale } = scaleOf(trace, options);
  const { picture } = options;
  const place: PlaneScale['toPlane'] = picture
    ? (xPx, yPx) => toPlane(...straightened(trace.lens, picture, xPx, yPx))
    : toPlane;
  const n = trace.samples.length;
  const column = () => new Float64Array(n).fill(NaN);
  const plane = {
    tS: column(),
    xM: column(),
    yM: column(),
    sxM: column(),
    syM: column(),
    state: new Uint8Array(n),
  };
  const stampS = Float64Array.from(
    trace.samples,
    (sample, i) => ((trace.takenS?.[i] ?? sample.ptsS) - trace.samples[0].ptsS) / slowMotion,
  );
  const readOut =
    trace.readOut && picture && likelyReadOut(trace.readOut, slowMotion, medianInterval(stampS));
  const lateS = delays(trace, readOut ? readOut.s : 0, picture);
  trace.samples.forEach((sample, i) => {
    plane.tS[i] = stampS[i] + lateS[i];
    plane.state[i] = stateCode[sample.state];
    if (sample.state === 'lost') return;
    const [x, y] = inFirstFrame(sample);
    const [x1, y1] = place(x, y);
    plane.xM[i] = x1;
    plane.yM[i] = y1;
    const [xx, xy, yx, yy] = multiply(slopesAt(place, x, y), linearPart(sample.camera));
    const spread = (a: number, b: number) =>
      Math.sqrt(a * a * sample.varXPx2 + 2 * a * b * sample.covXYPx2 + b * b * sample.varYPx2);
    plane.sxM[i] = spread(xx, xy);
    plane.syM[i] = spread(yx, yy);
  });
  const calibration = {
    ...{ discM, discSigmaM, ...scale, facing, slowMotion, slowMotionSource, seed },
    ...(discOffsetM ? { discOffsetM } : {}),
    ...(readOut ? { readOut } : {}),
  };
  return { plane, calibration };
}

/** How much later than its stamp each picture's rows show the bar, seconds; where the bar is lost, as before. */
function delays({ samples }: Trace, readOutS: number, picture: BarPlaneOptions['picture']): Float64Array {
  const shareAt = picture ? readingShare(picture) : () => 0;
  let last = 0;
  return Float64Array.from(samples, ({ state, xPx, yPx }) => {
    if (state !== 'lost') last = readOutS * shareAt(xPx, yPx);
    return last;
  });
}

/** By the camera's pose where it is known, else by the rim's shape and its size along the path. */
function scaleOf(trace: Trace, options: BarPlaneOptions): PlaneScale {
  return trace.pose ? scaleByPose(trace, trace.pose, options) : scaleByRim(trace, options);
}

/** Metres in the plane per pixel of the picture at a place, as a matrix. */
function slopesAt(toPlane: PlaneScale['toPlane'], xPx: number, yPx: number): Matrix2 {
  const h = 0.5;
  const [left, right] = [toPlane(xPx - h, yPx), toPlane(xPx + h, yPx)];
  const [above, below] = [toPlane(xPx, yPx - h), toPlane(xPx, yPx + h)];
  return [right[0] - left[0], below[0] - above[0], right[1] - left[1], below[1] - above[1]];
}

function check(trace: Trace, { discM, slowMotion }: BarPlaneOptions): void {
  if (!trace.samples.some((s) => s.state !== 'lost'))
    throw new Failure(
      'noBar',
      'The bar was not found in any frame.',
      'Mark the disc on the near end by hand.',
    );
  if (!(slowMotion > 0))
    throw new Failure(
      'usage',
      `A slow-motion factor of ${slowMotion} makes no sense.`,
      'Give how many times the clip was slowed down, for example 8 for 240 frames a second played at 30.',
    );
  if (!(discM > 0))
    throw new Failure(
      'usage',
      `No disc is ${discM} m across.`,
      'Give the diameter of the disc, usually 0.45 m.',
    );
}
