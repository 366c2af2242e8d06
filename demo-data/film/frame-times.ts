import { randomOf } from '../scene/random.ts';
import type { FilmSpec } from '../scene/spec.ts';

/** Ticks per second that variable-rate frames are stamped in. */
export const tickHz = 10_000;

/** Frames of this film do not follow each other at equal intervals. */
export const isUneven = (film: FilmSpec): boolean => film.jitter > 0 || film.dropShare > 0;

/** A frame of the file: its time stamp and the file time of the picture that it shows, seconds. */
export interface FrameTime {
  ptsS: number;
  takenS: number;
}

/**
 * Every frame from 0 over `durationS` of file time. An even rate gives n / fps; a variable one draws each interval; both
 * stay in order and, where uneven, fall on whole ticks. Some frames are missing; some show an earlier picture.
 */
export function frameTimes(film: FilmSpec, durationS: number, seed: number): FrameTime[] {
  const random = randomOf(seed);
  const fate = randomOf(seed ^ 0xd09);
  const frames: FrameTime[] = [];
  const count = Math.max(1, Math.floor(durationS * film.fps));
  let ticks = 0;
  for (let n = 0; n < count; n++) {
    const exactS = film.jitter > 0 ? ticks / tickHz : n / film.fps;
    const ptsS = isUneven(film) ? Math.round(exactS * tickHz) / tickHz : exactS;
    const share = Math.min(Math.max(1 + film.jitter * (film.jitter > 0 ? random.gauss() : 0), 0.4), 2.5);
    ticks += Math.round((tickHz / film.fps) * share);
    const before = frames[frames.length - 1] as FrameTime | undefined;
    const isDropped = film.dropShare > 0 && fate.uniform(0, 1) < film.dropShare;
    const isRepeated = film.repeatShare > 0 && fate.uniform(0, 1) < film.repeatShare;
    if (before && isDropped) continue;
    frames.push({ ptsS, takenS: before && isRepeated ? before.takenS : takenS(film, ptsS) });
  }
  return frames;
}

/** A converted film shows at any time the latest picture of the rate that it was captured at. */
function takenS({ convertedFromFps }: FilmSpec, ptsS: number): number {
  if (convertedFromFps === null) return ptsS;
  return Math.floor(ptsS * convertedFromFps + 1e-6) / convertedFromFps;
}
