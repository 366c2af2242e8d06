import { floatPlanes, type Planes } from '../film/yuv.ts';
import { motionOf, type BarMotion } from '../motion/bar-motion.ts';
import { makeCamera, project, pxPerM, type Turn } from '../scene/camera.ts';
import { inScene, layoutOf, rulerCentre, type Layout } from '../scene/layout.ts';
import { poseAt } from '../scene/pose.ts';
import type { SceneSpec } from '../scene/spec.ts';
import { discTurnRad } from '../truth/truth.ts';
import { farEnd, nearEnd, paintEnd, paintShaft } from './bar.ts';
import { paintBody } from './body.ts';
import { makeLayer } from './layer.ts';
import { developPatch, evenBox, fillFrom, makePatch, type Box, type Patch } from './patch.ts';
import { floorShadow } from './pen.ts';
import { paintProps } from './prop.ts';
import { paintRoom } from './room.ts';
import { furnish } from './furniture.ts';
import { stationOf } from './station.ts';
import { mix, type Vec3 } from '../scene/vec.ts';

export interface FramePainter {
  /** The picture exposed round a real time, before grain. */
  paint(tS: number, turn: Turn): Planes<Float32Array>;
}

/** Rectangle of the picture in which anything moves in this clip. */
function movingBox(spec: SceneSpec, layout: Layout, motion: BarMotion): Box {
  const { widthPx: w, heightPx: h } = spec.film;
  const camera = makeCamera(spec.camera, w, h);
  let [left, top, right, bottom] = [w, h, 0, 0];
  const include = (x: number, y: number, z: number, aroundM: number) => {
    const p = inScene(layout, x, y, z);
    const { xPx, yPx } = project(camera, p);
    const r = aroundM * pxPerM(camera, p) + 4 + 4 * spec.camera.shakePx;
    left = Math.min(left, xPx - r);
    right = Math.max(right, xPx + r);
    top = Math.min(top, yPx - r);
    bottom = Math.max(bottom, yPx + r);
  };
  for (let tS = 0; tS <= motion.durationS; tS += 0.1) {
    const bar = motion.at(tS);
    include(bar.xM, bar.yM, 0, layout.ruler.diameterM / 2);
    include(bar.xM, bar.yM, layout.sleeveEndZ, 0.05);
    include(bar.xM, bar.yM, 2 * layout.middleZ, layout.ruler.diameterM / 2);
    const pose = poseAt(spec, motion, tS);
    for (const side of [pose.near, pose.far])
      for (const p of Object.values(side) as (readonly [number, number, number])[])
        include(p[0], p[1], p[2] + layout.middleZ, 0.17);
    include(pose.head[0], pose.head[1], layout.middleZ, 0.2);
  }
  return evenBox(left, top, right, bottom, w, h);
}

export function makePainter(spec: SceneSpec): FramePainter {
  const { widthPx: w, heightPx: h, vignette, exposure } = spec.film;
  const motion = motionOf(spec);
  const layout = layoutOf(spec);
  const still = makeCamera(spec.camera, w, h);
  const station = stationOf(spec, layout);
  const furniture = furnish(spec.gym, spec.seed);
  const layer = makeLayer(w, h);
  const room = paintRoom(still, spec, layout, [...station.shadows, ...furniture.shadows]);
  paintProps({ x: 0, y: 0, w, h, rgb: room }, layer, still, [
    ...furniture.props,
    ...station.behind,
    ...station.inFront,
  ]);
  const gainAt = (x: number, y: number): number => {
    const d2 = ((x - w / 2) ** 2 + (y - h / 2) ** 2) / ((w * w + h * h) / 4);
    return exposure * (1 - vignette * d2);
  };
  const planes = floatPlanes(w, h);
  developPatch({ x: 0, y: 0, w, h, rgb: room }, planes, gainAt);
  const box = movingBox(spec, layout, motion);
  const exposed = makePatch(box);
  const instant = makePatch(box);
  const openS = spec.film.shutter / spec.film.fps / spec.film.slowMotion;

  const paintInstant = (patch: Patch, tS: number, camera = still): void => {
    const bar = motion.at(tS);
    const centre = rulerCentre(layout, bar);
    const turn = discTurnRad(spec, bar.yM);
    paintEnd(patch, camera, centre, farEnd(layout, spec.seed, turn), 0);
    layer.clear(box);
    const pen = { ctx: layer.ctx, camera };
    paintShaft(pen, layout, centre, false);
    const pose = poseAt(spec, motion, tS);
    const place = (p: Vec3): Vec3 => inScene(layout, p[0], p[1], p[2] + layout.middleZ);
    for (const side of [pose.far, pose.near]) {
      const middle = mix(side.ankle, side.toe, 0.4);
      floorShadow(pen, place(middle), 0.2, 0.11, Math.max(0, 0.6 - 4 * (side.toe[1] - 0.025)));
    }
    paintBody(pen, spec, pose, place);
    for (const prop of station.inFront) prop.draw?.(pen);
    paintShaft(pen, layout, centre, true);
    layer.over(patch);
    paintEnd(patch, camera, centre, nearEnd(layout, spec.seed, turn), 0);
  };

  return {
    paint(tS, turn) {
      const camera = makeCamera(spec.camera, w, h, turn);
      const { vxMps, vyMps } = motion.at(tS);
      const smearPx = Math.hypot(vxMps, vyMps) * openS * pxPerM(camera, rulerCentre(layout, motion.at(tS)));
      const parts = Math.min(Math.max(Math.ceil(smearPx / 0.5), 1), spec.film.subFrames);
      exposed.rgb.fill(0);
      for (let k = 0; k < parts; k++) {
        fillFrom(instant, room, w);
        paintInstant(instant, tS + openS * ((k + 0.5) / parts - 0.5), camera);
        for (let i = 0; i < exposed.rgb.length; i++) exposed.rgb[i] += instant.rgb[i] / parts;
      }
      developPatch(exposed, planes, gainAt);
      return planes;
    },
  };
}
