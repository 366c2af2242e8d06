import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { xoroshiro128plus, xoroshiro128plusFromState } from 'pure-rand/generator/xoroshiro128plus';
import { drawKernel } from './draw-kernel.ts';

/** A source of random numbers; the same seed gives the same numbers on every machine. */
export interface Random {
  /** Uniform on [0, 1). */
  uniform(): number;
  /** Standard normal. */
  normal(): number;
  /** As many as so many calls of `normal`; they last until the next are drawn. */
  normals(count: number): Float64Array;
}

/** Murmur3's 32-bit finaliser (from memory): spreads neighbouring seeds over all bits. */
const mix = (seed: number): number => {
  let h = seed | 0;
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return h ^ (h >>> 16);
};

/** Normals by the polar method (Marsaglia & Bray 1964), which makes them in pairs. */
export function seededRandom(seed: number): Random {
  let generator = xoroshiro128plus(mix(seed));
  // The generator's first words still show the seed's pattern.
  for (let i = 0; i < 16; i++) generator.next();
  const uniform = (): number => uniformFloat64(generator);
  // In an array: a number that a function keeps for itself takes memory each time it changes.
  const spare = new Float64Array([NaN]);
  const normal = (): number => {
    if (!Number.isNaN(spare[0])) {
      const z = spare[0];
      spare[0] = NaN;
      return z;
    }
    for (;;) {
      const u = 2 * uniform() - 1;
      const v = 2 * uniform() - 1;
      const s = u * u + v * v;
      if (s > 0 && s < 1) {
        const k = Math.sqrt((-2 * Math.log(s)) / s);
        spare[0] = v * k;
        return u * k;
      }
    }
  };
  const normals = (count: number): Float64Array => {
    const kernel = drawKernel();
    if (!kernel || count > kernel.normals.length) return Float64Array.from({ length: count }, normal);
    const [high0, low0, high1, low1] = generator.getState();
    kernel.words.set([low0, high0, low1, high1]);
    kernel.spare.set([Number.isNaN(spare[0]) ? 0 : 1, spare[0]]);
    kernel.run.drawNormals(count);
    const [after0, after1, after2, after3] = kernel.words;
    generator = xoroshiro128plusFromState([after1, after0, after3, after2]);
    spare[0] = kernel.spare[0] === 0 ? NaN : kernel.spare[1];
    return kernel.normals.subarray(0, count);
  };
  return { uniform, normal, normals };
}

/** An independent stream of one seed by name, so that adding a source leaves the others' numbers alone. */
export function stream(seed: number, name: string): Random {
  // FNV-1a, 32 bit.
  let hash = 0x811c9dc5;
  for (let i = 0; i < name.length; i++) hash = Math.imul(hash ^ name.charCodeAt(i), 0x01000193);
  return seededRandom(mix(seed) ^ hash);
}
