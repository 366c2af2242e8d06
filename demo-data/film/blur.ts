import type { Box } from '../paint/patch.ts';

/**
 * Blurs a rectangle of a plane in place, sigma in pixels, by passes of a three-tap kernel each way: a kernel with side
 * weight k has variance 2k, and variances of passes add.
 */
export function blurPlane(plane: Float32Array, widthPx: number, box: Box, sigmaPx: number): void {
  if (sigmaPx <= 0) return;
  const passes = Math.max(1, Math.ceil((sigmaPx * sigmaPx) / 0.5));
  const side = (sigmaPx * sigmaPx) / passes / 2;
  const middle = 1 - 2 * side;
  const above = new Float32Array(box.w);
  for (let pass = 0; pass < passes; pass++) {
    for (let j = box.y; j < box.y + box.h; j++) {
      const start = j * widthPx + box.x;
      const end = start + box.w - 1;
      let before = plane[start];
      for (let i = start; i < end; i++) {
        const here = plane[i];
        plane[i] = middle * here + side * (before + plane[i + 1]);
        before = here;
      }
      plane[end] = (1 - side) * plane[end] + side * before;
    }
    above.set(plane.subarray(box.y * widthPx + box.x, box.y * widthPx + box.x + box.w));
    for (let j = box.y; j < box.y + box.h; j++) {
      const start = j * widthPx + box.x;
      const step = j < box.y + box.h - 1 ? widthPx : 0;
      for (let i = 0; i < box.w; i++) {
        const here = plane[start + i];
        plane[start + i] = middle * here + side * (above[i] + plane[start + step + i]);
        above[i] = here;
      }
    }
  }
}
