/** Hash of two whole numbers and a seed to 0..1. */
function hash2(x: number, y: number, seed: number): number {
  let h = Math.imul(x, 374761393) ^ Math.imul(y, 668265263) ^ Math.imul(seed, 2147483647 - 58);
  h = Math.imul(h ^ (h >>> 13), 1274126177);
  return ((h ^ (h >>> 16)) >>> 0) / 4294967296;
}

/** Smooth value noise over the plane, 0..1, period-free, one feature per unit length. */
export function noise2(x: number, y: number, seed: number): number {
  const i = Math.floor(x);
  const j = Math.floor(y);
  const a = x - i;
  const b = y - j;
  const s = a * a * (3 - 2 * a);
  const t = b * b * (3 - 2 * b);
  const top = hash2(i, j, seed) * (1 - s) + hash2(i + 1, j, seed) * s;
  const low = hash2(i, j + 1, seed) * (1 - s) + hash2(i + 1, j + 1, seed) * s;
  return top * (1 - t) + low * t;
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
