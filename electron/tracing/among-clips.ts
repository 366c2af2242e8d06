import { availableParallelism } from 'node:os';

/** How many clips are followed at this moment, where every thread sees it. */
export type ClipsAtOnce = Int32Array<SharedArrayBuffer>;

const clips: ClipsAtOnce = new Int32Array(new SharedArrayBuffer(4));

/** Counts a clip while it is followed. */
export async function amongClips<Result>(follow: (clips: ClipsAtOnce) => Promise<Result>): Promise<Result> {
  Atomics.add(clips, 0, 1);
  try {
    return await follow(clips);
  } finally {
    Atomics.sub(clips, 0, 1);
  }
}

/** Whether each clip that is followed now may have a second thread: where all cores are busy it would only compile the code once more. */
export const haveCoresToSpare = (clips: ClipsAtOnce): boolean =>
  2 * Atomics.load(clips, 0) <= availableParallelism();
