import { blurPicture } from '../film/blur.ts';
import { floatPlanes, type Planes } from '../film/yuv.ts';
import { motionOf, type BarMotion } from '../motion/bar-motion.ts';
import { makeCamera, project, pxPerM, type Camera, type Turn } from '../scene/camera.ts';
import { inScene, layoutOf, rulerCentre, type Layout } from '../scene/layout.ts';
import { poseAt } from '../scene/pose.ts';
import type { SceneSpec } from '../scene/spec.ts';
import { mix, type Vec3 } from '../scene/vec.ts';
import { discTurnRad } from '../truth/truth.ts';
import { farEnd, nearEnd, paintEnd, paintShaft } from './bar.ts';
import { paintBody } from './body.ts';
import { makeLayer } from './layer.ts';
import { developPatch, evenBox, fillFrom, makePatch, type Box, type Patch } from './patch.ts';
import { floorShadow, type Pen } from './pen.ts';
import { stationOf } from './station.ts';
import { makeStill, seeStill } from './still.ts';

export interface FramePainter {
  /** The picture exposed round a real time by a camera turned from its place, before grain. Valid until the next call. */
  paint(tS: number, turn: Turn): Planes<Float32Array>;
}

/** Most smear, in pixels, that one sub-frame stands for. */
const smearPerPartPx = 0.7;

export function makePainter(spec: SceneSpec): FramePainter {
  const { widthPx: w, heightPx: h, vignette, exposure, blurPx } = spec.film;
  const motion = motionOf(spec);
  const layout = layoutOf(spec);
  const station = stationOf(spec, layout);
  const gainAt = (x: number, y: number): number => {
    const d2 = ((x - w / 2) ** 2 + (y - h / 2) ** 2) / ((w * w + h * h) / 4);
    return exposure * (1 - vignette * d2);
  };
  const still = makeStill(spec, layout, station, makeCamera(spec.camera, w, h), gainAt);
  const box = movingBox(spec, layout, motion);
  const layer = makeLayer(w, h);
  const planes = floatPlanes(w, h);
  const behind = makePatch(box);
  const instant = makePatch(box);
  const exposed = makePatch(box);
  const openS = spec.film.shutter / spec.film.fps / spec.film.slowMotion;
  const onTripod = spec.camera.shakePx === 0;
  // What stands still before the lifter looks the same in every frame of a camera that stands still too.
  const inFront = makeLayer(w, h);
  if (onTripod) {
    for (const prop of station.inFront) prop.draw?.({ ctx: inFront.ctx, camera: still.camera });
    fillFrom(behind, still.rgb, w);
    planes.y.set(still.planes.y);
    planes.u.set(still.planes.u);
    planes.v.set(still.planes.v);
  }

  const paintInstant = (patch: Patch, tS: number, camera: Camera): void => {
    const bar = motion.at(tS);
    const centre = rulerCentre(layout, bar);
    const turnRad = discTurnRad(spec, bar.yM);
    paintEnd(patch, camera, centre, farEnd(layout, spec.seed, turnRad));
    layer.clear(box);
    const pen: Pen = { ctx: layer.ctx, camera };
    const pose = poseAt(spec, motion, tS);
    const place = (p: Vec3): Vec3 => inScene(layout, p[0], p[1], p[2] + layout.middleZ);
    for (const side of [pose.far, pose.near]) {
      const lifted = side.toe[1] - 0.025;
      floorShadow(pen, place(mix(side.ankle, side.toe, 0.4)), 0.2, 0.11, Math.max(0, 0.6 - 4 * lifted));
    }
    floorShadow(pen, centre, 0.2, 0.09, Math.max(0, 0.75 - 1.5 * (centre[1] - 0.2)));
    paintShaft(pen, layout, centre, false);
    paintBody(pen, spec, pose, place);
    paintShaft(pen, layout, centre, true);
    if (onTripod) layer.ctx.drawImage(inFront.canvas, box.x, box.y, box.w, box.h, box.x, box.y, box.w, box.h);
    else for (const prop of station.inFront) prop.draw?.(pen);
    layer.over(patch);
    paintEnd(patch, camera, centre, nearEnd(layout, spec.seed, turnRad));
  };

  return {
    paint(tS, turn) {
      const camera = makeCamera(spec.camera, w, h, turn);
      const bar = motion.at(tS);
      const smearPx = Math.hypot(bar.vxMps, bar.vyMps) * openS * pxPerM(camera, rulerCentre(layout, bar));
      const parts = Math.min(Math.max(Math.ceil(smearPx / smearPerPartPx), 1), spec.film.subFrames);
      if (!onTripod) seeStill(still, camera, planes, behind);
      for (let k = 0; k < parts; k++) {
        const target = k === 0 ? exposed : instant;
        target.rgb.set(behind.rgb);
        paintInstant(target, tS + openS * ((k + 0.5) / parts - 0.5), camera);
        if (k > 0) for (let i = 0; i < exposed.rgb.length; i++) exposed.rgb[i] += instant.rgb[i];
      }
      blurPicture(exposed.rgb, box.w, box.h, 3, blurPx);
      developPatch(exposed, planes, (x, y) => gainAt(x, y) / parts);
      return planes;
    },
  };
}

/** Rectangle of the picture in which anything moves in this clip. */
function movingBox(spec: SceneSpec, layout: Layout, motion: BarMotion): Box {
  const { widthPx: w, heightPx: h } = spec.film;
  const camera = makeCamera(spec.camera, w, h);
  let [left, top, right, bottom] = [w, h, 0, 0];
  const include = (p: Vec3, aroundM: number) => {
    const { xPx, yPx } = project(camera, p);
    const r = aroundM * pxPerM(camera, p) + 4 + 4 * spec.camera.shakePx;
    left = Math.min(left, xPx - r);
    right = Math.max(right, xPx + r);
    top = Math.min(top, yPx - r);
    bottom = Math.max(bottom, yPx + r);
  };
  for (let tS = 0; tS <= motion.durationS; tS += 0.1) {
    const bar = motion.at(tS);
    for (const z of [0, 2 * layout.middleZ])
      include(inScene(layout, bar.xM, bar.yM, z), layout.ruler.diameterM / 2 + 0.03);
    include(inScene(layout, bar.xM, bar.yM, layout.sleeveEndZ), 0.05);
    const pose = poseAt(spec, motion, tS);
    const sides = [pose.near, pose.far].flatMap((s) => Object.values(s) as Vec3[]);
    for (const p of [...sides, pose.head]) include(inScene(layout, p[0], p[1], p[2] + layout.middleZ), 0.19);
  }
  return evenBox(left, top, right, bottom, w, h);
}
