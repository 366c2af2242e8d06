import { project, pxPerM, type Camera } from '../scene/camera.ts';
import type { Reach } from './crossers.ts';
import type { MovingLayer } from './instant.ts';
import { evenBox, makeScratch, putBack, takePart, type Box, type Patch } from './patch.ts';

/** The shutter of one picture: its middle, how long a row is exposed, and how long all rows take, real time. */
export interface Exposure {
  tS: number;
  openS: number;
  readOutS: number;
  cameraAt: (tS: number) => Camera;
}

/** Rectangle of the picture that a layer takes in one exposure, within `bounds`; null where it is out of the picture. */
export function boxOf(
  layer: MovingLayer,
  { tS, openS, readOutS, cameraAt }: Exposure,
  bounds: Box,
): Box | null {
  let [left, top, right, bottom] = [Infinity, Infinity, -Infinity, -Infinity];
  const include = (camera: Camera, { at, aroundM }: Reach) => {
    const { xPx, yPx } = project(camera, at);
    const r = aroundM * pxPerM(camera, at) + 6;
    left = Math.min(left, xPx - r);
    right = Math.max(right, xPx + r);
    top = Math.min(top, yPx - r);
    bottom = Math.max(bottom, yPx + r);
  };
  for (const share of [-0.5, 0, 0.5]) {
    const camera = cameraAt(tS + share * (openS + readOutS));
    for (const reach of layer.reach(tS + share * (openS + readOutS))) include(camera, reach);
  }
  if (right <= bounds.x || left >= bounds.x + bounds.w) return null;
  if (bottom <= bounds.y || top >= bounds.y + bounds.h) return null;
  return evenBox(left, top, right, bottom, bounds.x + bounds.w, bounds.y + bounds.h);
}

/** Paints a layer over a box of the patch as a shutter sees it that is open for a while. */
export type Expose = (patch: Patch, box: Box, layer: MovingLayer, exposure: Exposure) => void;

/** Each exposure is the mean of evenly spaced moments, `mostMoments` at most. */
export function makeExpose(channels: 1 | 3, mostMoments: number): Expose {
  const sumIn = makeScratch(channels);
  const instantIn = makeScratch(channels);
  return (patch, box, layer, exposure) => {
    const { tS, openS, cameraAt } = exposure;
    const smearPx = layer.speedPxPerS(tS, cameraAt(tS)) * openS;
    const moments = Math.min(Math.max(Math.ceil(smearPx / layer.smearPerMomentPx), 1), mostMoments);
    const timeOf = (k: number): number => tS + openS * ((k + 0.5) / moments - 0.5);
    const sum = sumIn(box);
    takePart(patch, sum);
    layer.paint(sum, timeOf(0), cameraAt(timeOf(0)));
    if (moments > 1) {
      const instant = instantIn(box);
      for (let k = 1; k < moments; k++) {
        takePart(patch, instant);
        layer.paint(instant, timeOf(k), cameraAt(timeOf(k)));
        for (let i = 0; i < sum.light.length; i++) sum.light[i] += instant.light[i];
      }
      for (let i = 0; i < sum.light.length; i++) sum.light[i] /= moments;
    }
    putBack(patch, sum);
  };
}
