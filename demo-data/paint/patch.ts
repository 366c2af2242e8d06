import type { Planes } from '../film/yuv.ts';
import { toGamma } from './colour.ts';

/** A rectangle of the picture, whole pixels; x, y, w and h are even so that chroma follows. */
export interface Box {
  x: number;
  y: number;
  w: number;
  h: number;
}

/** Linear light in a rectangle of the picture, interleaved RGB. */
export interface Patch extends Box {
  rgb: Float32Array;
}

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

export const makePatch = (box: Box): Patch => ({ ...box, rgb: new Float32Array(box.w * box.h * 3) });

/** Copies what a patch shows in a part's place into the part. */
export function takePart(patch: Patch, part: Patch): void {
  for (let j = 0; j < part.h; j++) {
    const from = ((part.y - patch.y + j) * patch.w + part.x - patch.x) * 3;
    part.rgb.set(patch.rgb.subarray(from, from + part.w * 3), j * part.w * 3);
  }
}

/** A box's part of a patch, in a buffer of its own. */
export function partOf(patch: Patch, box: Box): Patch {
  const part = makePatch(box);
  takePart(patch, part);
  return part;
}

/** Puts a part back into the patch that it was taken from. */
export function putBack(patch: Patch, part: Patch): void {
  for (let j = 0; j < part.h; j++)
    patch.rgb.set(
      part.rgb.subarray(j * part.w * 3, (j + 1) * part.w * 3),
      ((part.y - patch.y + j) * patch.w + part.x - patch.x) * 3,
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
 * averaged over 2 by 2 unless the film is grey.
 */
export function developPatch(
  patch: Patch,
  planes: Planes<Float32Array>,
  exposure: number,
  grey: boolean,
): void {
  const { rgb, x, y, w, h } = patch;
  const { widthPx } = planes;
  const half = widthPx / 2;
  for (let j = 0; j < h; j++) {
    let to = (y + j) * widthPx + x;
    for (let from = j * w * 3; from < (j + 1) * w * 3; from += 3, to++)
      planes.y[to] =
        16 +
        0.2126 * levelOf(rgb[from] * exposure) +
        0.7152 * levelOf(rgb[from + 1] * exposure) +
        0.0722 * levelOf(rgb[from + 2] * exposure);
  }
  if (grey) return;
  const mean = (i: number): number =>
    levelOf((exposure * (rgb[i] + rgb[i + 3] + rgb[i + 3 * w] + rgb[i + 3 * w + 3])) / 4);
  for (let j = 0; j < h; j += 2)
    for (let i = 0; i < w; i += 2) {
      const from = (j * w + i) * 3;
      const red = mean(from);
      const blue = mean(from + 2);
      const luma = 0.2126 * red + 0.7152 * mean(from + 1) + 0.0722 * blue;
      const c = ((y + j) / 2) * half + (x + i) / 2;
      planes.u[c] = 128 + ((224 / 219) * (blue - luma)) / 1.8556;
      planes.v[c] = 128 + ((224 / 219) * (red - luma)) / 1.5748;
    }
}
