import { median } from 'd3-array';
import type { CameraPose, Trace } from '../contract/trace.ts';
import type { PlaneScale } from './plane-scale.ts';
import { assumedUp, rollFromPlumb, type Roll } from './plumb.ts';
import { proposeUp } from './propose-up.ts';
import { rollFromLean, viewOf } from './pose-plane.ts';
import type { BarPlaneOptions } from './rectify.ts';
import { inFirstFrame } from './scale-by-rim.ts';

/** Edges are placed this surely against the true rim, px, and axis ratios: one sigma, measured on rendered clips. */
const edgeBiasPx = 0.15;
const ratioSigma = 0.006;
/** Nearer to square than this the ratio tells less than how the rim's lean changes along the path. */
const leastSine = 0.1;

/** Scale, angle and up from the camera's pose. */
export function scaleByPose(trace: Trace, pose: CameraPose, options: BarPlaneOptions): PlaneScale {
  const radiusM = options.discM / 2;
  const roll = rollOf(trace, pose, options);
  const { dxPx, dyPx } = pose.offset;
  const view = viewOf(pose, radiusM, roll.rollRad, options.facing);
  const places = trace.samples.filter((s) => s.state !== 'lost').map(inFirstFrame);
  const x0 = median(places, (p) => p[0])! + dxPx;
  const y0 = median(places, (p) => p[1])! + dyPx;
  const metresPerPx = view.metresPerPx(x0, y0);
  const angle = view.offSquareRad(x0, y0);
  const byRatio = ratioSigma / Math.max(leastSine, Math.abs(Math.sin(angle)));
  return {
    ...roll,
    toPlane: (xPx, yPx) => view.toPlane(xPx + dxPx, yPx + dyPx),
    metresPerPx,
    rimScaleSigma: Math.hypot(pose.sigma.size, (edgeBiasPx * metresPerPx) / radiusM),
    offSquareRad: Math.abs(angle),
    offSquareSigmaRad: Math.hypot(pose.sigma.offSquareRad, byRatio),
    camera: {
      side: angle > 0 ? 'right' : 'left',
      distanceM: view.distanceM,
      distanceSigmaM: view.distanceM * pose.sigma.logFocal,
      focalPx: pose.focalPx,
    },
  };
}

function rollOf(trace: Trace, pose: CameraPose, { plumb, plumbSource }: BarPlaneOptions): Roll {
  const picture = { widthPx: 2 * pose.cxPx + 1, heightPx: 2 * pose.cyPx + 1 };
  if (!plumb) return proposeUp(trace.uprights ?? [], picture, pose) ?? assumedUp;
  const roll = rollFromPlumb(plumb, plumbSource ?? 'user');
  const [x1, y1, x2, y2] = plumb;
  return { ...roll, rollRad: rollFromLean(pose, roll.rollRad, (x1 + x2) / 2, (y1 + y2) / 2) };
}
