import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';

/** A stream of numbers, the same for the same seed. */
export interface Random {
  uniform(lo: number, hi: number): number;
  gauss(): number;
  pick<T>(items: readonly T[]): T;
}

export function randomOf(seed: number): Random {
  const generator = xoroshiro128plus(seed);
  const next = () => uniformFloat64(generator);
  return {
    uniform: (lo, hi) => lo + (hi - lo) * next(),
    // Box and Muller
    gauss: () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next()),
    pick: (items) => items[Math.min(items.length - 1, Math.floor(next() * items.length))],
  };
}
