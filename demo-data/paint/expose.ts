import { project, pxPerM, type Camera } from '../scene/camera.ts';
import type { Reach } from './crossers.ts';
import type { MovingLayer } from './instant.ts';
import { evenBox, partOf, putBack, type Box, type Patch } from './patch.ts';

/** The shutter of one picture: its middle, how long a row is exposed, and how long all rows take, real time. */
export interface Exposure {
  tS: number;
  openS: number;
  readOutS: number;
  cameraAt: (tS: number) => Camera;
}

/** Most smear, in pixels, between two moments that one exposure is made of; more would show as ghosts. */
const smearPerMomentPx = 1.5;

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

/** Paints a layer over the patch as a shutter sees it that is open for a while: the mean of evenly spaced moments. */
export function expose(
  patch: Patch,
  box: Box,
  layer: MovingLayer,
  exposure: Exposure,
  mostMoments: number,
): void {
  const { tS, openS, cameraAt } = exposure;
  const smearPx = layer.speedPxPerS(tS, cameraAt(tS)) * openS;
  const moments = Math.min(Math.max(Math.ceil(smearPx / smearPerMomentPx), 1), mostMoments);
  const ground = partOf(patch, box);
  const sum = partOf(patch, box);
  const instant = moments > 1 ? partOf(patch, box) : ground;
  for (let k = 0; k < moments; k++) {
    const atS = tS + openS * ((k + 0.5) / moments - 0.5);
    const target = k === 0 ? sum : instant;
    if (k > 0) target.rgb.set(ground.rgb);
    layer.paint(target, atS, cameraAt(atS));
    if (k > 0) for (let i = 0; i < sum.rgb.length; i++) sum.rgb[i] += target.rgb[i];
  }
  if (moments > 1) for (let i = 0; i < sum.rgb.length; i++) sum.rgb[i] /= moments;
  putBack(patch, sum);
}
