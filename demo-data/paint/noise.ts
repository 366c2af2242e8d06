/** Hash of two whole numbers and a seed to 0..1. */
function hash2(x: number, y: number, seed: number): number {
  let h = Math.imul(x, 374761393) ^ Math.imul(y, 668265263) ^ Math.imul(seed, 2147483647 - 58);
  h = Math.imul(h ^ (h >>> 13), 1274126177);
  return ((h ^ (h >>> 16)) >>> 0) / 4294967296;
}

const size = 256;
const lattice = Float32Array.from({ length: size * size }, (_, i) =>
  hash2(i % size, Math.floor(i / size), 1),
);

/** Smooth value noise over the plane, 0..1, one feature per unit length, repeating after 256. */
export function noise2(x: number, y: number, seed: number): number {
  const i = Math.floor(x);
  const j = Math.floor(y);
  const a = x - i;
  const b = y - j;
  const s = a * a * (3 - 2 * a);
  const t = b * b * (3 - 2 * b);
  const i0 = (i + seed * 37) & 255;
  const i1 = (i0 + 1) & 255;
  const j0 = ((j + seed * 91) & 255) << 8;
  const j1 = (j0 + 256) & 65535;
  const top = lattice[j0 + i0] * (1 - s) + lattice[j0 + i1] * s;
  const low = lattice[j1 + i0] * (1 - s) + lattice[j1 + i1] * s;
  return top + (low - top) * t;
}

/** Noise summed over octaves, each half as strong and twice as fine; 0..1. */
export function cloud2(x: number, y: number, octaves: number, seed: number): number {
  let sum = 0;
  let weight = 0;
  for (let o = 0, k = 1; o < octaves; o++, k *= 2) {
    sum += noise2(x * k, y * k, seed + o) / k;
    weight += 1 / k;
  }
  return sum / weight;
}

/** A whole number's own 0..1, for choosing among bricks, boards, tiles. */
export const pick2 = hash2;
