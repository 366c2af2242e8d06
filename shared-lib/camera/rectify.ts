import type { Calibration } from '../contract/clip.ts';
import { Failure } from '../contract/errors.ts';
import type { Facing } from '../contract/lift.ts';
import type { PlaneTrace } from '../contract/motion.ts';
import type { CameraMotion, Rim, Trace, TraceSample } from '../contract/trace.ts';
import { applySimilarity } from '../picture/similarity.ts';
import { fitNearness, nearnessAt, type Nearness } from './depth.ts';
import { assumedUp, rollFromPlumb, type PlumbLine } from './plumb.ts';
import { rimScale, type Matrix2 } from './rim-scale.ts';

export interface BarPlaneOptions {
  discM: number;
  /** One sigma of the diameter, metres; see disc-size.ts. */
  discSigmaM: number;
  /** An upright in the first frame; without one the picture's vertical is up. */
  plumb?: PlumbLine;
  /** Who drew it; the user unless said otherwise. */
  plumbSource?: 'proposed' | 'user';
  /** Which way the lifter faces in the picture. */
  facing: Facing;
  /** Capture rate over playback rate. */
  slowMotion: number;
  slowMotionSource: Calibration['slowMotionSource'];
  seed: Calibration['seed'];
}

const multiply = (a: Matrix2, b: Matrix2): Matrix2 => [
  a[0] * b[0] + a[1] * b[2],
  a[0] * b[1] + a[1] * b[3],
  a[2] * b[0] + a[3] * b[2],
  a[2] * b[1] + a[3] * b[3],
];

/**
 * Picture offsets to the bar plane's: undo the foreshortening, turn what the picture shows as up to +y, and
 * let x point forward. Under an oblique view a vertical stays vertical, whatever the ellipse's own axis.
 */
function planeFromPx(metresFromPx: Matrix2, rollRad: number, facing: Facing): Matrix2 {
  const upX = metresFromPx[0] * Math.sin(rollRad) - metresFromPx[1] * Math.cos(rollRad);
  const upY = metresFromPx[2] * Math.sin(rollRad) - metresFromPx[3] * Math.cos(rollRad);
  const length = Math.hypot(upX, upY);
  const c = -upY / length;
  const s = upX / length;
  const forward = facing === 'right' ? 1 : -1;
  return multiply([forward * c, forward * s, s, -c], metresFromPx);
}

/** The first frame's pixels at which the disc would be, had the camera stood still. */
const inFirstFrame = (s: TraceSample) => applySimilarity(s.camera, s.xPx, s.yPx);

/** A camera's turn and growth as a matrix. */
function linearPart(camera: CameraMotion): Matrix2 {
  const c = camera.scale * Math.cos(camera.rotationRad);
  const n = camera.scale * Math.sin(camera.rotationRad);
  return [c, -n, n, c];
}

function nearnessAlong(trace: Trace): Nearness {
  const sizes = { xPx: [] as number[], yPx: [] as number[], radiusPx: [] as number[] };
  for (const sample of trace.samples) {
    if (sample.state !== 'seen' || !(sample.rimRadiusPx > 0)) continue;
    const [x, y] = inFirstFrame(sample);
    sizes.xPx.push(x);
    sizes.yPx.push(y);
    sizes.radiusPx.push(sample.rimRadiusPx * sample.camera.scale);
  }
  const { xPx, yPx, aPx, bPx, thetaRad } = trace.rim;
  if (sizes.xPx.length === 0) return { size: 1, x0Px: xPx, y0Px: yPx, kxPerPx: 0, kyPerPx: 0 };
  return fitNearness(sizes, Math.hypot(aPx * Math.sin(thetaRad), bPx * Math.cos(thetaRad)));
}

/** The pooled rim as large as it looks in the middle of the path. */
function rimInTheMiddle(rim: Rim, { size }: Nearness): Rim {
  return { ...rim, aPx: rim.aPx * size, bPx: rim.bPx * size };
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
  const { discM, discSigmaM, facing, slowMotion, slowMotionSource, seed } = options;
  const near = nearnessAlong(trace);
  const { metresFromPx, ...scale } = rimScale(rimInTheMiddle(trace.rim, near), trace.rimSigma, discM);
  const roll = options.plumb ? rollFromPlumb(options.plumb, options.plumbSource ?? 'user') : assumedUp;
  const map = planeFromPx(metresFromPx, roll.rollRad, facing);
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
  trace.samples.forEach((sample, i) => {
    plane.tS[i] = (sample.ptsS - trace.samples[0].ptsS) / slowMotion;
    plane.state[i] = stateCode[sample.state];
    if (sample.state === 'lost') return;
    const [x, y] = inFirstFrame(sample);
    const nearness = nearnessAt(near, x, y);
    const dx = (x - near.x0Px) / nearness;
    const dy = (y - near.y0Px) / nearness;
    plane.xM[i] = map[0] * dx + map[1] * dy;
    plane.yM[i] = map[2] * dx + map[3] * dy;
    // The nearness changes so slowly along the path that its own slope does not matter to the spread.
    const [xx, xy, yx, yy] = multiply(map, linearPart(sample.camera));
    const spread = (a: number, b: number) =>
      Math.sqrt(a * a * sample.varXPx2 + 2 * a * b * sample.covXYPx2 + b * b * sample.varYPx2) / nearness;
    plane.sxM[i] = spread(xx, xy);
    plane.syM[i] = spread(yx, yy);
  });
  const calibration = { discM, discSigmaM, ...scale, ...roll, facing, slowMotion, slowMotionSource, seed };
  return { plane, calibration };
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
