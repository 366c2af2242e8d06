import type { Facing } from '../contract/lift.ts';
import type { Rim, Trace, TraceSample } from '../contract/trace.ts';
import { applySimilarity } from '../picture/similarity.ts';
import { fitNearness, nearnessAt, type Nearness } from './depth.ts';
import { multiply, type Matrix2 } from './matrix2.ts';
import type { PlaneScale } from './plane-scale.ts';
import { assumedUp, rollFromPlumb } from './plumb.ts';
import { proposeUp } from './propose-up.ts';
import type { BarPlaneOptions } from './rectify.ts';
import { rimScale } from './rim-scale.ts';
import { verticalRadius } from '../picture/rim-radii.ts';

/** The first frame's pixels at which the disc would be, had the camera stood still. */
export const inFirstFrame = (s: TraceSample): readonly [xPx: number, yPx: number] =>
  applySimilarity(s.camera, s.xPx, s.yPx);

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

function nearnessAlong(trace: Trace): Nearness {
  const sizes = { xPx: [] as number[], yPx: [] as number[], radiusPx: [] as number[] };
  for (const sample of trace.samples) {
    if (sample.state !== 'seen' || !(sample.rimRadiusPx > 0)) continue;
    const [x, y] = inFirstFrame(sample);
    sizes.xPx.push(x);
    sizes.yPx.push(y);
    sizes.radiusPx.push(sample.rimRadiusPx * sample.camera.scale);
  }
  const { xPx, yPx } = trace.rim;
  if (sizes.xPx.length === 0) return { size: 1, x0Px: xPx, y0Px: yPx, kxPerPx: 0, kyPerPx: 0 };
  return fitNearness(sizes, verticalRadius(trace.rim));
}

/** The pooled rim as large as it looks in the middle of the path. */
function rimInTheMiddle(rim: Rim, { size }: Nearness): Rim {
  return { ...rim, aPx: rim.aPx * size, bPx: rim.bPx * size };
}

/** Scale from the rim's shape where it is most of the time, and from how its size changes along the path. */
export function scaleByRim(trace: Trace, options: BarPlaneOptions): PlaneScale {
  const near = nearnessAlong(trace);
  const { metresFromPx, ...scale } = rimScale(rimInTheMiddle(trace.rim, near), trace.rimSigma, options.discM);
  const { plumb, plumbSource, picture } = options;
  const proposed = picture ? proposeUp(trace.uprights ?? [], picture, null) : null;
  const roll = plumb ? rollFromPlumb(plumb, plumbSource ?? 'user') : (proposed ?? assumedUp);
  const map = planeFromPx(metresFromPx, roll.rollRad, options.facing);
  return {
    ...scale,
    ...roll,
    toPlane: (xPx, yPx) => {
      const nearness = nearnessAt(near, xPx, yPx);
      const dx = (xPx - near.x0Px) / nearness;
      const dy = (yPx - near.y0Px) / nearness;
      return [map[0] * dx + map[1] * dy, map[2] * dx + map[3] * dy];
    },
  };
}
