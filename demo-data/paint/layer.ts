import { createCanvas, type Canvas, type SKRSContext2D } from '@napi-rs/canvas';
import { linearOfByte } from './colour.ts';
import { luminanceOf, type Box, type Patch } from './patch.ts';

/** A transparent canvas the size of the picture; what is drawn on it is laid over linear light. */
export interface Layer {
  canvas: Canvas;
  ctx: SKRSContext2D;
  clear(box: Box): void;
  /** Lays the box's part of the canvas over the patch, which covers the same box. */
  over(patch: Patch): void;
}

export function makeLayer(widthPx: number, heightPx: number): Layer {
  const canvas = createCanvas(widthPx, heightPx);
  const ctx = canvas.getContext('2d');
  return {
    canvas,
    ctx,
    clear: (box) => ctx.clearRect(box.x, box.y, box.w, box.h),
    over(patch) {
      const { data } = ctx.getImageData(patch.x, patch.y, patch.w, patch.h);
      const { light: rgb, channels } = patch;
      if (channels === 1) {
        greyOver(data, rgb);
        return;
      }
      for (let i = 0, o = 0; i < data.length; i += 4, o += 3) {
        const alpha = data[i + 3];
        if (alpha === 0) continue;
        if (alpha === 255) {
          rgb[o] = linearOfByte[data[i]];
          rgb[o + 1] = linearOfByte[data[i + 1]];
          rgb[o + 2] = linearOfByte[data[i + 2]];
          continue;
        }
        const k = alpha / 255;
        for (let c = 0; c < 3; c++) rgb[o + c] += k * (linearOfByte[data[i + c]] - rgb[o + c]);
      }
    },
  };
}

function greyOver(data: Uint8ClampedArray, light: Float32Array): void {
  for (let i = 0, o = 0; i < data.length; i += 4, o++) {
    const alpha = data[i + 3];
    if (alpha === 0) continue;
    const grey = luminanceOf(linearOfByte[data[i]], linearOfByte[data[i + 1]], linearOfByte[data[i + 2]]);
    light[o] = alpha === 255 ? grey : light[o] + (alpha / 255) * (grey - light[o]);
  }
}
