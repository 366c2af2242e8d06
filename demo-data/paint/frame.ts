import { blurPicture } from '../film/blur.ts';
import { floatPlanes, type Planes } from '../film/yuv.ts';
import { motionOf } from '../motion/bar-motion.ts';
import { layoutOf } from '../scene/layout.ts';
import { shotOf } from '../scene/shot.ts';
import type { SceneSpec } from '../scene/spec.ts';
import { boxOf, makeExpose, type Exposure } from './expose.ts';
import { movingLayers } from './instant.ts';
import { developPatch, makePatch, makeScratch, takePart, unionOf, type Box } from './patch.ts';
import { stationOf } from './station.ts';
import { makeStill, seeLight, seePlanes } from './still.ts';

export interface FramePainter {
  /** The developed picture exposed round a real time, before the sensor. Valid until the next call. */
  paint(tS: number): Planes<Float32Array>;
}

export function makePainter(spec: SceneSpec): FramePainter {
  const { widthPx: w, heightPx: h, blurPx, readOutS, subFrames, exposure: light, grey } = spec.film;
  const motion = motionOf(spec);
  const layout = layoutOf(spec);
  const station = stationOf(spec, layout);
  const shot = shotOf(spec);
  const still = makeStill(spec, layout, station, shot, motion.durationS);
  const layers = movingLayers(spec, layout, motion, station, shot);
  const planes = floatPlanes(w, h);
  const whole: Box = { x: 0, y: 0, w, h };
  const openS = spec.film.shutter / spec.film.fps / spec.film.slowMotion;
  const stillCamera = shot.cameraAt(0);
  // What a still camera sees of the still room, once for all frames; what moved over it is put back frame by frame.
  const room = floatPlanes(w, h);
  const channels = grey ? 1 : 3;
  const roomLight = makePatch(whole, channels);
  const patchIn = makeScratch(channels);
  const expose = makeExpose(channels, subFrames);
  if (!shot.moves) {
    seePlanes(still, stillCamera, room, grey);
    seeLight(still, stillCamera, roomLight);
    copyPlanes(room, planes, whole, grey);
  }
  let painted: Box | null = null;

  return {
    paint(tS) {
      const exposure: Exposure = { tS, openS, readOutS, cameraAt: shot.cameraAt };
      if (shot.moves) seePlanes(still, shot.cameraAt(tS), planes, grey);
      else if (painted) copyPlanes(room, planes, painted, grey);
      const parts = layers.flatMap((layer) => {
        const box = boxOf(layer, exposure, whole);
        return box ? [{ layer, box }] : [];
      });
      painted = unionOf(parts.map((p) => p.box));
      if (!painted) return planes;
      const patch = patchIn(painted);
      if (shot.moves) seeLight(still, shot.cameraAt(tS), patch);
      else takePart(roomLight, patch);
      for (const { layer, box } of parts) expose(patch, box, layer, exposure);
      blurPicture(patch.light, patch.w, patch.h, channels, blurPx);
      developPatch(patch, planes, light);
      return planes;
    },
  };
}

/** Copies a box from one picture into another of the same size. */
function copyPlanes(from: Planes<Float32Array>, to: Planes<Float32Array>, box: Box, grey: boolean): void {
  const copy = (source: Float32Array, target: Float32Array, widthPx: number, pitch: number) => {
    for (let j = box.y / pitch; j < (box.y + box.h) / pitch; j++) {
      const start = j * widthPx + box.x / pitch;
      target.set(source.subarray(start, start + box.w / pitch), start);
    }
  };
  copy(from.y, to.y, from.widthPx, 1);
  if (grey) return;
  copy(from.u, to.u, from.widthPx / 2, 2);
  copy(from.v, to.v, from.widthPx / 2, 2);
}
