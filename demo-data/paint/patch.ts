import type { Planes } from '../film/yuv.ts';
import { gammaOf } from './colour.ts';

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

export const makePatch = (box: Box): Patch => ({ ...box, rgb: new Float32Array(box.w * box.h * 3) });

/** Copies the patch's part of a whole picture (linear RGB, `widthPx` wide) into it. */
export function fillFrom(patch: Patch, picture: Float32Array, widthPx: number): void {
  for (let j = 0; j < patch.h; j++) {
    const from = ((patch.y + j) * widthPx + patch.x) * 3;
    patch.rgb.set(picture.subarray(from, from + patch.w * 3), j * patch.w * 3);
  }
}

/** Writes the patch into a picture's planes: exposure, vignette, gamma, BT.709 limited range, chroma averaged over 2 by 2. */
export function developPatch(
  patch: Patch,
  planes: Planes<Float32Array>,
  gainAt: (xPx: number, yPx: number) => number,
): void {
  const half = planes.widthPx / 2;
  for (let j = 0; j < patch.h; j += 2) {
    for (let i = 0; i < patch.w; i += 2) {
      const gain = gainAt(patch.x + i, patch.y + j);
      let blue = 0;
      let red = 0;
      for (let k = 0; k < 4; k++) {
        const dx = k & 1;
        const dy = k >> 1;
        const from = ((j + dy) * patch.w + i + dx) * 3;
        const r = gammaOf(patch.rgb[from] * gain);
        const g = gammaOf(patch.rgb[from + 1] * gain);
        const b = gammaOf(patch.rgb[from + 2] * gain);
        const y = 0.2126 * r + 0.7152 * g + 0.0722 * b;
        planes.y[(patch.y + j + dy) * planes.widthPx + patch.x + i + dx] = 16 + 219 * y;
        blue += b - y;
        red += r - y;
      }
      const c = ((patch.y + j) / 2) * half + (patch.x + i) / 2;
      planes.u[c] = 128 + (224 / 4) * (blue / 1.8556);
      planes.v[c] = 128 + (224 / 4) * (red / 1.5748);
    }
  }
}
