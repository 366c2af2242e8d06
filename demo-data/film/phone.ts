import type { FilmSpec } from '../scene/spec.ts';
import type { Planes } from './yuv.ts';

/**
 * What a phone does to a picture to please: contrast deepened by an S-curve, and edges sharpened by taking a part of the
 * picture's blur away (unsharp mask, 3 by 3), which puts a halo round them. Null for a film left as it is.
 */
export function phoneLook({
  contrast = 0,
  sharpen = 0,
  widthPx: w,
  heightPx: h,
}: FilmSpec): ((planes: Planes<Float32Array>) => Planes<Float32Array>) | null {
  if (contrast === 0 && sharpen === 0) return null;
  const out = new Float32Array(w * h);
  const curve = Float32Array.from({ length: 4 * 256 + 1 }, (_, i) => {
    const t = Math.max(0, (i / 4 - 16) / 219);
    return t >= 1 ? i / 4 : 16 + 219 * (t - (contrast * Math.sin(2 * Math.PI * t)) / (2 * Math.PI));
  });
  const curved = (level: number): number =>
    level < 0 ? 0 : level >= 256 ? level : curve[(4 * level + 0.5) | 0];
  return ({ y, ...rest }) => {
    for (let j = 0; j < h; j++) {
      const up = j > 0 ? -w : 0;
      const down = j < h - 1 ? w : 0;
      for (let i = 0; i < w; i++) {
        const at = j * w + i;
        const left = i > 0 ? -1 : 0;
        const right = i < w - 1 ? 1 : 0;
        const round =
          (2 * (y[at + up] + y[at + down] + y[at + left] + y[at + right]) +
            y[at + up + left] +
            y[at + up + right] +
            y[at + down + left] +
            y[at + down + right]) /
          12;
        out[at] = curved(y[at] + sharpen * (y[at] - round));
      }
    }
    return { ...rest, y: out };
  };
}
