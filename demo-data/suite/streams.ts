import { createHash } from 'node:crypto';
import { randomOf, type Random } from '../scene/random.ts';

/**
 * A stream of its own for each nuisance of a scene: hashed from the scene's seed and the nuisance's name, so that a new
 * nuisance leaves the draws of all others as they were.
 */
export function streamOf(seed: number, name: string): Random {
  const random = randomOf(createHash('sha256').update(`${seed}/${name}`).digest().readInt32LE(0));
  // The generator's first numbers still look like its seed.
  for (let i = 0; i < 16; i++) random.uniform(0, 1);
  return random;
}

/** One of the values, each as likely as its weight says. */
export function pickWeighted<T>(random: Random, items: readonly (readonly [T, number])[]): T {
  const total = items.reduce((sum, [, weight]) => sum + weight, 0);
  let left = random.uniform(0, total);
  for (const [item, weight] of items) {
    left -= weight;
    if (left <= 0) return item;
  }
  return items[items.length - 1][0];
}

/** Uniform in the logarithm: each octave between the ends is as likely as the next. */
export const logUniform = (random: Random, lo: number, hi: number): number =>
  Math.exp(random.uniform(Math.log(lo), Math.log(hi)));
