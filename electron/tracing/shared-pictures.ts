/** Pictures that one thread puts into memory and another looks at, one after the other. */
export interface SharedPictures {
  /** Where the pictures go in turn, each as long as a picture. */
  ring: readonly Uint8Array<SharedArrayBuffer>[];
  /** Each picture's own time, in the same turn, seconds of file time. */
  ptsS: Float64Array<SharedArrayBuffer>;
  /** How many pictures have been put there, and how many taken, since the start. */
  counts: Int32Array<SharedArrayBuffer>;
}

/** Places in `counts`. */
export const filled = 0;
export const taken = 1;

export function sharedPictures(ring: readonly Uint8Array<SharedArrayBuffer>[]): SharedPictures {
  return {
    ring,
    ptsS: new Float64Array(new SharedArrayBuffer(8 * ring.length)),
    counts: new Int32Array(new SharedArrayBuffer(8)),
  };
}

/** Says that there is one more, to whoever waits for it. */
export function countUp({ counts }: SharedPictures, which: number, count: number): void {
  Atomics.store(counts, which, count);
  Atomics.notify(counts, which);
}

/** Settles once there are at least so many. */
export async function untilCount({ counts }: SharedPictures, which: number, least: number): Promise<void> {
  for (;;) {
    const now = Atomics.load(counts, which);
    if (now >= least) return;
    await Atomics.waitAsync(counts, which, now).value;
  }
}
