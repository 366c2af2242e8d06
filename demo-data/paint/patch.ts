import type { Planes } from '../film/yuv.ts';
import { toGamma } from './colour.ts';

/** A rectangle of the picture, whole pixels; x, y, w and h are even so that chroma follows. */
export interface Box {
  x: number;
  y: number;
  w: number;
  h: number;
}

/** Linear light in a rectangle of the picture: interleaved RGB, or one channel of luminance for a grey film. */
export interface Patch extends Box {
  channels: 1 | 3;
  light: Float32Array;
}

/** BT.709's weights of linear red, green and blue in luminance (from memory). */
export const luminanceOf = (red: number, green: number, blue: number): number =>
  0.2126 * red + 0.7152 * green + 0.0722 * blue;

/** Smallest even box round a rectangle, inside the picture. */
export function evenBox(
  left: number,
  top: number,
  right: number,
  bottom: number,
  widthPx: number,
  heightPx: number,
): Box {
  const clamp = (v: number, most: number) => Math.min(Math.max(v, 0), most);
  const x = clamp(2 * Math.floor(left / 2), widthPx - 2);
  const y = clamp(2 * Math.floor(top / 2), heightPx - 2);
  const w = Math.max(2, clamp(2 * Math.ceil(right / 2), widthPx) - x);
  const h = Math.max(2, clamp(2 * Math.ceil(bottom / 2), heightPx) - y);
  return { x, y, w, h };
}

/** Smallest box round boxes, or null round none. */
export function unionOf(boxes: readonly Box[]): Box | null {
  if (boxes.length === 0) return null;
  const x = Math.min(...boxes.map((b) => b.x));
  const y = Math.min(...boxes.map((b) => b.y));
  const w = Math.max(...boxes.map((b) => b.x + b.w)) - x;
  const h = Math.max(...boxes.map((b) => b.y + b.h)) - y;
  return { x, y, w, h };
}

export const makePatch = ({ x, y, w, h }: Box, channels: 1 | 3): Patch => ({
  ...{ x, y, w, h, channels },
  light: new Float32Array(w * h * channels),
});

/** Makes patches in one buffer that grows as needed: each is valid until the next is made. Their light is left over. */
export function makeScratch(channels: 1 | 3): (box: Box) => Patch {
  let buffer = new Float32Array(0);
  return ({ x, y, w, h }) => {
    const length = w * h * channels;
    if (buffer.length < length) buffer = new Float32Array(length);
    return { x, y, w, h, channels, light: buffer.subarray(0, length) };
  };
}

/** Copies what a patch shows in a part's place into the part. */
export function takePart(patch: Patch, part: Patch): void {
  const { channels } = patch;
  for (let j = 0; j < part.h; j++) {
    const from = ((part.y - patch.y + j) * patch.w + part.x - patch.x) * channels;
    part.light.set(patch.light.subarray(from, from + part.w * channels), j * part.w * channels);
  }
}

/** Puts a part back into the patch that it was taken from. */
export function putBack(patch: Patch, part: Patch): void {
  const { channels } = patch;
  for (let j = 0; j < part.h; j++)
    patch.light.set(
      part.light.subarray(j * part.w * channels, (j + 1) * part.w * channels),
      ((part.y - patch.y + j) * patch.w + part.x - patch.x) * channels,
    );
}

/** Brightest light that keeps its step above white, so that a shorter exposure can bring it back. */
const headroom = 4;
const steps = 1 << 14;
const levelTable = Float32Array.from(
  { length: steps + 2 },
  (_, i) => 219 * toGamma(headroom * (i / steps) ** 2),
);
/** Linear light to coded levels above black, from a table over the square root so that darks keep their steps. */
function levelOf(linear: number): number {
  const at = linear <= 0 ? 0 : linear >= headroom ? steps : Math.sqrt(linear / headroom) * steps;
  return levelTable[(at + 0.5) | 0];
}

/**
 * Writes the patch into a picture's planes: exposure, gamma, BT.709 limited range without clipping at white, chroma
 * averaged over 2 by 2. A patch of luminance gives luma alone.
 */
export function developPatch(patch: Patch, planes: Planes<Float32Array>, exposure: number): void {
  const { light: rgb, x, y, w, h } = patch;
  if (patch.channels === 1) {
    developGrey(patch, planes, exposure);
    return;
  }
  const { widthPx } = planes;
  const half = widthPx / 2;
  for (let j = 0; j < h; j++) {
    let to = (y + j) * widthPx + x;
    for (let from = j * w * 3; from < (j + 1) * w * 3; from += 3, to++)
      planes.y[to] =
        16 +
        luminanceOf(
          levelOf(rgb[from] * exposure),
          levelOf(rgb[from + 1] * exposure),
          levelOf(rgb[from + 2] * exposure),
        );
  }
  const mean = (i: number): number =>
    levelOf((exposure * (rgb[i] + rgb[i + 3] + rgb[i + 3 * w] + rgb[i + 3 * w + 3])) / 4);
  for (let j = 0; j < h; j += 2)
    for (let i = 0; i < w; i += 2) {
      const from = (j * w + i) * 3;
      const red = mean(from);
      const blue = mean(from + 2);
      const luma = luminanceOf(red, mean(from + 1), blue);
      const c = ((y + j) / 2) * half + (x + i) / 2;
      planes.u[c] = 128 + ((224 / 219) * (blue - luma)) / 1.8556;
      planes.v[c] = 128 + ((224 / 219) * (red - luma)) / 1.5748;
    }
}

function developGrey({ light, x, y, w, h }: Patch, planes: Planes<Float32Array>, exposure: number): void {
  for (let j = 0; j < h; j++) {
    const to = (y + j) * planes.widthPx + x;
    for (let i = 0; i < w; i++) planes.y[to + i] = 16 + levelOf(light[j * w + i] * exposure);
  }
}
