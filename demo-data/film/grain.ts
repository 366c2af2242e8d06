import { randomOf } from '../scene/random.ts';
import type { Planes } from './yuv.ts';

const tileLength = 1 << 20;

/**
 * Sensor grain: variance of a read part plus a shot part in linear light, carried through the gamma curve, so that it is
 * strongest in darks and mid greys; 8-bit levels. One long tile of Gaussian numbers is read from a new place in each row.
 */
export function makeGrain(sigmaAtGrey: number, seed: number) {
  const random = randomOf(seed);
  const tile = Float32Array.from({ length: tileLength }, () => random.gauss());
  const strength = Float32Array.from({ length: 256 }, (_, level) => {
    const s = Math.min(Math.max((level - 16) / 219, 0.02), 1);
    const linear = s ** 2.2;
    // d(gamma)/d(linear) times the square root of the variance
    return (Math.sqrt(0.002 + linear) * linear ** (1 / 2.2 - 1)) / 2.2;
  });
  const grey = strength[16 + Math.round(219 * 0.46)];
  strength.forEach((s, i) => (strength[i] = (s / grey) * sigmaAtGrey));
  return (from: Planes<Float32Array>, to: Planes<Uint8Array>): void => {
    const start = () => Math.floor(random.uniform(0, tileLength - 8192));
    const { widthPx: w, heightPx: h } = from;
    for (let row = 0; row < h; row++) {
      const base = row * w;
      const at = start() - base;
      for (let i = base; i < base + w; i++) {
        const level = from.y[i];
        const v = level + strength[level | 0] * tile[at + i] + 0.5;
        to.y[i] = v < 0 ? 0 : v > 255 ? 255 : v;
      }
    }
    const chroma = 0.5 * sigmaAtGrey;
    for (let row = 0; row < h; row += 2) {
      const base = (row / 2) * (w / 2);
      const atU = start() - base;
      const atV = start() - base;
      for (let i = base; i < base + w / 2; i++) {
        to.u[i] = from.u[i] + chroma * tile[atU + i] + 0.5;
        to.v[i] = from.v[i] + chroma * tile[atV + i] + 0.5;
      }
    }
  };
}
