import { floatPlanes, type Planes } from '../film/yuv.ts';
import { blurPicture } from '../film/blur.ts';
import { dot } from '../scene/vec.ts';
import { rayOf, type Camera } from '../scene/camera.ts';
import type { Layout } from '../scene/layout.ts';
import type { SceneSpec } from '../scene/spec.ts';
import { furnish } from './furniture.ts';
import { makeLayer } from './layer.ts';
import { developPatch, type Patch } from './patch.ts';
import { paintProps } from './prop.ts';
import { paintRoom } from './room.ts';
import type { Station } from './station.ts';

/**
 * Everything that does not move, pictured once from where the camera was put, with a margin round the frame as wide as
 * a hand-held camera needs. A camera that only turns sees the same rays in other pixels, so its frames are the still
 * picture through a homography, exactly.
 */
export interface Still {
  /** The still's own size; its pixel (margin, margin) is the frame's (0, 0). */
  widthPx: number;
  heightPx: number;
  marginPx: number;
  camera: Camera;
  /** Linear RGB without vignette or blur. */
  rgb: Float32Array;
  /** Developed and blurred. */
  planes: Planes<Float32Array>;
}

export type Gain = (xPx: number, yPx: number) => number;

export function makeStill(
  spec: SceneSpec,
  layout: Layout,
  station: Station,
  camera: Camera,
  gainAt: Gain,
): Still {
  const marginPx = spec.camera.shakePx > 0 ? 2 * Math.ceil(2.5 * spec.camera.shakePx + 2) : 0;
  const widthPx = spec.film.widthPx + 2 * marginPx;
  const heightPx = spec.film.heightPx + 2 * marginPx;
  const wide = { ...camera, cxPx: camera.cxPx + marginPx, cyPx: camera.cyPx + marginPx };
  const furniture = furnish(spec.gym);
  const rgb = paintRoom(wide, spec, layout, [...station.shadows, ...furniture.shadows], widthPx, heightPx);
  const whole = { x: 0, y: 0, w: widthPx, h: heightPx, rgb };
  paintProps(whole, makeLayer(widthPx, heightPx), wide, [
    ...furniture.props,
    ...station.behind,
    ...station.inFront,
  ]);
  const planes = floatPlanes(widthPx, heightPx);
  const blurred = rgb.slice();
  blurPicture(blurred, widthPx, heightPx, 3, spec.film.blurPx);
  developPatch({ ...whole, rgb: blurred }, planes, (x, y) => gainAt(x - marginPx, y - marginPx));
  return { widthPx, heightPx, marginPx, camera: wide, rgb, planes };
}

/** Where a turned camera's pixel lies in the still: rows of the homography, applied to (x, y, 1). */
type Rows = readonly [Float64Array, Float64Array, Float64Array];

function rowsFor(still: Still, turned: Camera): Rows {
  const k = still.camera;
  const axes = [k.right, k.up, k.forward] as const;
  const r0 = rayOf(turned, 0, 0);
  const rx = rayOf(turned, 1, 0);
  const ry = rayOf(turned, 0, 1);
  const [right, up, forward] = axes.map((a) => [
    dot(rx, a) - dot(r0, a),
    dot(ry, a) - dot(r0, a),
    dot(r0, a),
  ]);
  const row = (f: (i: number) => number) => Float64Array.from([0, 1, 2], f);
  return [
    row((i) => k.focalPx * right[i] + k.cxPx * forward[i]),
    row((i) => -k.focalPx * up[i] + k.cyPx * forward[i]),
    row((i) => forward[i]),
  ];
}

/**
 * Samples one interleaved channel set at every pixel of a grid, bilinearly. Grid cell (i, j) is the frame's pixel
 * (x0 + i * pitch + shift, y0 + j * pitch + shift); the source has one cell per `pitch` pixels of the still.
 */
function sample(
  [hx, hy, hz]: Rows,
  source: { data: Float32Array; widthPx: number; heightPx: number; channels: number },
  target: { data: Float32Array; x: number; y: number; w: number; h: number },
  pitch: number,
): void {
  const shift = (pitch - 1) / 2;
  const { data, widthPx, heightPx, channels } = source;
  for (let j = 0; j < target.h; j++) {
    const y = target.y + j * pitch + shift;
    for (let i = 0; i < target.w; i++) {
      const x = target.x + i * pitch + shift;
      const z = hz[0] * x + hz[1] * y + hz[2];
      let sx = ((hx[0] * x + hx[1] * y + hx[2]) / z - shift) / pitch;
      let sy = ((hy[0] * x + hy[1] * y + hy[2]) / z - shift) / pitch;
      sx = sx < 0 ? 0 : sx > widthPx - 1.001 ? widthPx - 1.001 : sx;
      sy = sy < 0 ? 0 : sy > heightPx - 1.001 ? heightPx - 1.001 : sy;
      const ix = sx | 0;
      const iy = sy | 0;
      const a = sx - ix;
      const b = sy - iy;
      const p = (iy * widthPx + ix) * channels;
      const q = p + widthPx * channels;
      const to = (j * target.w + i) * channels;
      for (let c = 0; c < channels; c++) {
        const top = data[p + c] + a * (data[p + channels + c] - data[p + c]);
        const low = data[q + c] + a * (data[q + channels + c] - data[q + c]);
        target.data[to + c] = top + b * (low - top);
      }
    }
  }
}

/** The still as a turned camera sees it: developed into whole planes, and in linear light into the patch. */
export function seeStill(still: Still, turned: Camera, planes: Planes<Float32Array>, patch: Patch): void {
  const rows = rowsFor(still, turned);
  const { widthPx, heightPx } = still;
  const { widthPx: w, heightPx: h } = planes;
  const half = (data: Float32Array) => ({ data, widthPx: widthPx / 2, heightPx: heightPx / 2, channels: 1 });
  sample(
    rows,
    { data: still.planes.y, widthPx, heightPx, channels: 1 },
    { data: planes.y, x: 0, y: 0, w, h },
    1,
  );
  sample(rows, half(still.planes.u), { data: planes.u, x: 0, y: 0, w: w / 2, h: h / 2 }, 2);
  sample(rows, half(still.planes.v), { data: planes.v, x: 0, y: 0, w: w / 2, h: h / 2 }, 2);
  sample(rows, { data: still.rgb, widthPx, heightPx, channels: 3 }, { ...patch, data: patch.rgb }, 1);
}
