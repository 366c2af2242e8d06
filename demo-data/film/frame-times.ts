import { randomOf } from '../scene/random.ts';
import type { FilmSpec } from '../scene/spec.ts';

/** Ticks per second that variable-rate frames are stamped in. */
export const tickHz = 10_000;

/**
 * File time of every frame, seconds, from 0, over `durationS` of file time. An even rate gives n / fps; a variable one
 * draws each interval, stays in order and falls on whole ticks.
 */
export function frameTimes(film: FilmSpec, durationS: number, seed: number): number[] {
  const count = Math.max(1, Math.floor(durationS * film.fps));
  if (film.jitter <= 0) return Array.from({ length: count }, (_, n) => n / film.fps);
  const random = randomOf(seed);
  let ticks = 0;
  return Array.from({ length: count }, () => {
    const at = ticks / tickHz;
    const share = Math.min(Math.max(1 + film.jitter * random.gauss(), 0.4), 2.5);
    ticks += Math.round((tickHz / film.fps) * share);
    return at;
  });
}
