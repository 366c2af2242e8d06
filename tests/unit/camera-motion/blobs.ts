import type { CameraMotion } from '../../../shared-lib/contract/trace.ts';
import type { Random } from '../../../shared-lib/motion/random.ts';
import type { GreyImage } from '../../../shared-lib/picture/grey-image.ts';
import { applySimilarity, invertSimilarity } from '../../../shared-lib/picture/similarity.ts';

export interface Blob {
  xPx: number;
  yPx: number;
  sigmaPx: number;
  height: number;
}

/** Gaussian blobs over a canvas that reaches `margin` px beyond the picture on every side. */
export function scatterBlobs(
  count: number,
  width: number,
  height: number,
  margin: number,
  random: Random,
): Blob[] {
  return Array.from({ length: count }, () => ({
    xPx: -margin + random.uniform() * (width + 2 * margin),
    yPx: -margin + random.uniform() * (height + 2 * margin),
    sigmaPx: 2 + 6 * random.uniform() ** 2,
    height: (random.uniform() < 0.5 ? -1 : 1) * (20 + 50 * random.uniform()),
  }));
}

/** The sum of the blobs on mid-grey, before rounding: exact at any sub-pixel position, turn and scale. */
export function addBlobs(
  plane: Float64Array,
  width: number,
  height: number,
  blobs: readonly Blob[],
  motion: CameraMotion,
): void {
  const back = invertSimilarity(motion);
  for (const blob of blobs) {
    const [cx, cy] = applySimilarity(back, blob.xPx, blob.yPx);
    const s = blob.sigmaPx * back.scale;
    const reach = 4 * s;
    const x0 = Math.max(0, Math.ceil(cx - reach));
    const x1 = Math.min(width - 1, Math.floor(cx + reach));
    const column = Array.from({ length: Math.max(0, x1 - x0 + 1) }, (_, i) =>
      Math.exp(-((x0 + i - cx) ** 2) / (2 * s * s)),
    );
    for (let y = Math.max(0, Math.ceil(cy - reach)); y <= Math.min(height - 1, cy + reach); y++) {
      const row = blob.height * Math.exp(-((y - cy) ** 2) / (2 * s * s));
      for (let x = x0; x <= x1; x++) plane[y * width + x] += row * column[x - x0];
    }
  }
}

export interface Exposure {
  gain: number;
  bias: number;
  noise: number;
  random: Random;
}

/** An 8-bit picture of the plane with a gain, a bias and Gaussian noise. */
export function expose(plane: Float64Array, width: number, height: number, e: Exposure): GreyImage {
  const data = new Uint8Array(plane.length);
  for (let i = 0; i < plane.length; i++) {
    data[i] = Math.min(
      255,
      Math.max(0, Math.round(e.gain * plane[i] + e.bias + (e.noise > 0 ? e.noise * e.random.normal() : 0))),
    );
  }
  return { width, height, data };
}

/** The largest and the root-mean-square distance between two motions over a grid of picture points, px. */
export function motionError(
  a: CameraMotion,
  b: CameraMotion,
  width: number,
  height: number,
): { rmsPx: number; maxPx: number } {
  let sum = 0;
  let maxPx = 0;
  let n = 0;
  for (let j = 0; j <= 4; j++)
    for (let i = 0; i <= 4; i++, n++) {
      const x = (i / 4) * width;
      const y = (j / 4) * height;
      const [ax, ay] = applySimilarity(a, x, y);
      const [bx, by] = applySimilarity(b, x, y);
      const d = Math.hypot(ax - bx, ay - by);
      sum += d * d;
      maxPx = Math.max(maxPx, d);
    }
  return { rmsPx: Math.sqrt(sum / n), maxPx };
}
