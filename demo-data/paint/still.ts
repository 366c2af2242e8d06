import { blurPicture } from '../film/blur.ts';
import { floatPlanes, type Planes } from '../film/yuv.ts';
import { beforeLens, makeCamera, project, rayOf, type Camera } from '../scene/camera.ts';
import type { Lens } from '../scene/lens.ts';
import type { Layout } from '../scene/layout.ts';
import type { Shot } from '../scene/shot.ts';
import type { SceneSpec } from '../scene/spec.ts';
import { add, dot, type Vec3 } from '../scene/vec.ts';
import { furnish } from './furniture.ts';
import { makeLayer } from './layer.ts';
import { developPatch, luminanceOf, takePart, type Box, type Patch } from './patch.ts';
import { paintProps } from './prop.ts';
import { paintRoom } from './room.ts';
import type { Station } from './station.ts';
import { stillExtras } from './still-extras.ts';

/**
 * Everything that does not move, pictured once from where the camera was put through a straight lens, with a margin
 * round the frame as wide as the camera's turning and its lens need. A camera that only turns and zooms sees the same
 * rays in other pixels, so its frames are the still picture through a homography, exactly.
 */
export interface Still {
  /** The still's own size; its pixel (margin, margin) is the frame's (0, 0). */
  widthPx: number;
  heightPx: number;
  marginPx: number;
  camera: Camera;
  /** Linear light without blur: RGB, or luminance for a grey film. */
  light: Float32Array;
  channels: 1 | 3;
  /** Developed and blurred. */
  planes: Planes<Float32Array>;
}

export function makeStill(
  spec: SceneSpec,
  layout: Layout,
  station: Station,
  shot: Shot,
  durationS: number,
): Still {
  const { film } = spec;
  const placed = makeCamera(spec.camera, film.widthPx, film.heightPx);
  const marginPx = marginOf(film.widthPx, film.heightPx, placed, shot, durationS);
  const widthPx = film.widthPx + 2 * marginPx;
  const heightPx = film.heightPx + 2 * marginPx;
  const wide = { ...placed, cxPx: placed.cxPx + marginPx, cyPx: placed.cyPx + marginPx };
  const furniture = furnish(spec.gym);
  const rgb = paintRoom(wide, spec, layout, [...station.shadows, ...furniture.shadows], widthPx, heightPx);
  const whole: Patch = { x: 0, y: 0, w: widthPx, h: heightPx, channels: 3, light: rgb };
  paintProps(whole, makeLayer(widthPx, heightPx), wide, [
    ...furniture.props,
    ...stillExtras(spec.extras ?? [], layout, spec.gym, spec.seed),
    ...station.behind,
    ...station.inFront,
  ]);
  const planes = floatPlanes(widthPx, heightPx);
  const channels = film.grey ? 1 : 3;
  const light = film.grey ? luminance(rgb) : rgb;
  const blurred = light.slice();
  blurPicture(blurred, widthPx, heightPx, channels, film.blurPx);
  developPatch({ ...whole, channels, light: blurred }, planes, film.exposure);
  return { widthPx, heightPx, marginPx, camera: wide, light, channels, planes };
}

const luminance = (rgb: Float32Array): Float32Array =>
  Float32Array.from({ length: rgb.length / 3 }, (_, i) =>
    luminanceOf(rgb[3 * i], rgb[3 * i + 1], rgb[3 * i + 2]),
  );

/** How far outside the frame the camera looks at any time, in pixels of the still; even, none for a still camera. */
function marginOf(widthPx: number, heightPx: number, placed: Camera, shot: Shot, durationS: number): number {
  const lens = shot.cameraAt(0).lens;
  if (!shot.moves && !lens) return 0;
  let outside = 0;
  const times = shot.moves ? Array.from({ length: 1 + Math.ceil(20 * durationS) }, (_, i) => i / 20) : [0];
  for (const tS of times) {
    const camera = shot.cameraAt(tS);
    for (const x of [0, (widthPx - 1) / 2, widthPx - 1])
      for (const y of [0, (heightPx - 1) / 2, heightPx - 1]) {
        const before = beforeLens(camera, { xPx: x, yPx: y });
        const { xPx, yPx } = project(placed, add(placed.at, rayOf(camera, before.xPx, before.yPx)));
        outside = Math.max(outside, -xPx, -yPx, xPx - widthPx + 1, yPx - heightPx + 1);
      }
  }
  return 2 * Math.ceil((outside + 6) / 2);
}

/** Where a turned camera's straight picture lies in the still: rows of the homography, applied to (x, y, 1). */
type Rows = readonly [Float64Array, Float64Array, Float64Array];

function rowsFor(still: Still, turned: Camera): Rows {
  const k = still.camera;
  const r0 = rayOf(turned, 0, 0);
  const rx = rayOf(turned, 1, 0);
  const ry = rayOf(turned, 0, 1);
  const along = (axis: Vec3) => [dot(rx, axis) - dot(r0, axis), dot(ry, axis) - dot(r0, axis), dot(r0, axis)];
  const [right, up, forward] = [along(k.right), along(k.up), along(k.forward)];
  const row = (f: (i: number) => number) => Float64Array.from([0, 1, 2], f);
  return [
    row((i) => k.focalPx * right[i] + k.cxPx * forward[i]),
    row((i) => -k.focalPx * up[i] + k.cyPx * forward[i]),
    row((i) => forward[i]),
  ];
}

interface Grid {
  data: Float32Array;
  widthPx: number;
  heightPx: number;
  channels: 1 | 3;
  /** Frame pixels per cell of source and target: 2 for chroma. */
  pitch: 1 | 2;
}

/**
 * Samples the still at every cell of a rectangle of the frame, bilinearly. Cell (i, j) is the frame's pixel
 * (x + i * pitch + shift, y + j * pitch + shift) with the shift to the cell's middle.
 */
function sample(still: Still, camera: Camera, source: Grid, target: Box, out: Float32Array): void {
  const { pitch, channels } = source;
  const shift = (pitch - 1) / 2;
  const { ofRow } = camera;
  const whole = rowsFor(still, camera);
  const places = new Float64Array(2 * target.w);
  const sampleRow = channels === 1 ? sampleGrey : sampleRgb;
  for (let j = 0; j < target.h; j++) {
    const rowPx = target.y + j * pitch + shift;
    const rows = ofRow ? rowsFor(still, ofRow(rowPx)) : whole;
    placesOfRow(places, rows, camera.lens, target.x, target.y + j * pitch, pitch);
    sampleRow(source, places, out, j * target.w * channels);
  }
}

/** Where the cells of a row lie in the source, as x and y in turn. */
function placesOfRow(
  places: Float64Array,
  [hx, hy, hz]: Rows,
  lens: Lens | null,
  left: number,
  row: number,
  pitch: number,
): void {
  const shift = (pitch - 1) / 2;
  const [xx, xy, x1] = hx;
  const [yx, yy, y1] = hy;
  const [zx, zy, z1] = hz;
  for (let i = 0; i < places.length; i += 2) {
    let x = left + (i >> 1) * pitch + shift;
    let y = row + shift;
    if (lens) {
      const at = 2 * (row * lens.widthPx + x - shift);
      x = lens.straightPx[at] + shift;
      y = lens.straightPx[at + 1] + shift;
    }
    const k = 1 / (zx * x + zy * y + z1);
    places[i] = ((xx * x + xy * y + x1) * k - shift) / pitch;
    places[i + 1] = ((yx * x + yy * y + y1) * k - shift) / pitch;
  }
}

const within = (v: number, size: number): number => (v < 0 ? 0 : v > size - 1.001 ? size - 1.001 : v);

type SampleRow = (source: Grid, places: Float64Array, out: Float32Array, start: number) => void;

const sampleGrey: SampleRow = ({ data, widthPx, heightPx }, places, out, start) => {
  for (let i = 0, to = start; i < places.length; i += 2, to++) {
    const x = within(places[i], widthPx);
    const y = within(places[i + 1], heightPx);
    const ix = x | 0;
    const iy = y | 0;
    const a = x - ix;
    const p = iy * widthPx + ix;
    const q = p + widthPx;
    const top = data[p] + a * (data[p + 1] - data[p]);
    const low = data[q] + a * (data[q + 1] - data[q]);
    out[to] = top + (y - iy) * (low - top);
  }
};

const sampleRgb: SampleRow = ({ data, widthPx, heightPx }, places, out, start) => {
  for (let i = 0, to = start; i < places.length; i += 2, to += 3) {
    const x = within(places[i], widthPx);
    const y = within(places[i + 1], heightPx);
    const ix = x | 0;
    const iy = y | 0;
    const a = x - ix;
    const b = y - iy;
    const p = (iy * widthPx + ix) * 3;
    const q = p + widthPx * 3;
    for (let c = 0; c < 3; c++) {
      const top = data[p + c] + a * (data[p + 3 + c] - data[p + c]);
      const low = data[q + c] + a * (data[q + 3 + c] - data[q + c]);
      out[to + c] = top + b * (low - top);
    }
  }
};

/** The still's developed planes as the camera sees them. */
export function seePlanes(still: Still, camera: Camera, planes: Planes<Float32Array>, grey: boolean): void {
  const { widthPx, heightPx, marginPx } = still;
  const { widthPx: w, heightPx: h } = planes;
  if (marginPx === 0) {
    planes.y.set(still.planes.y);
    planes.u.set(still.planes.u);
    planes.v.set(still.planes.v);
    return;
  }
  const luma: Grid = { data: still.planes.y, widthPx, heightPx, channels: 1, pitch: 1 };
  sample(still, camera, luma, { x: 0, y: 0, w, h }, planes.y);
  if (grey) return;
  for (const name of ['u', 'v'] as const) {
    const half: Grid = {
      data: still.planes[name],
      widthPx: widthPx / 2,
      heightPx: heightPx / 2,
      channels: 1,
      pitch: 2,
    };
    sample(still, camera, half, { x: 0, y: 0, w: w / 2, h: h / 2 }, planes[name]);
  }
}

/** The still's linear light as the camera sees it, in a patch of the frame. */
export function seeLight(still: Still, camera: Camera, patch: Patch): void {
  const { widthPx, heightPx, marginPx, light, channels } = still;
  if (marginPx === 0) takePart({ x: 0, y: 0, w: widthPx, h: heightPx, channels, light }, patch);
  else sample(still, camera, { data: light, widthPx, heightPx, channels, pitch: 1 }, patch, patch.light);
}
