import type { MediaInfo } from '../../shared-lib/contract/clip.ts';
import { builtFile } from '../built-file.ts';
import type { Stretch } from '../media/arguments.ts';
import { decodeFrames, ringSize, type DecodedFrame, type DecodeOptions } from '../media/decode.ts';
import { throwIfStopped } from '../media/process.ts';
import { onOneThread } from '../threads.ts';
import { loadKernels, type PictureRing } from './load-kernels.ts';
import type { ReadingRequest } from './read-ahead.ts';
import { countUp, filled, sharedPictures, taken, untilCount } from './shared-pictures.ts';

const worker = builtFile('reading-worker.js');

/** Pictures read before they are looked at, at most, and the memory that they may take. */
const mostAhead = 6;
const mostAheadBytes = 64e6;

/** Pictures in the ring of a clip that is decoded ahead. */
export const picturesInRing = (pictureBytes: number): number =>
  ringSize + Math.max(1, Math.min(mostAhead, Math.floor(mostAheadBytes / pictureBytes)));

/** Room for the pictures of a clip that is decoded ahead, to be given back; compiled code runs on this thread from now on. */
export function ringFor({ widthPx, heightPx }: Pick<MediaInfo, 'widthPx' | 'heightPx'>): PictureRing {
  const pictureBytes = widthPx * heightPx;
  return loadKernels(pictureBytes, picturesInRing(pictureBytes));
}

/**
 * Decodes a clip as `decodeFrames` does, but on a thread of its own that reads on while the caller looks at a
 * picture; where none is built the pictures come one by one on this one.
 *
 * @param decoding its `ring` is that of `ringFor`
 * @param stretches decoded one after the other, the whole clip where none are given; pictures are counted through all
 */
export async function* decodeAhead(
  file: string,
  decoding: DecodeOptions & { ring: PictureRing },
  stretches: readonly Stretch[] = [{}],
): AsyncGenerator<DecodedFrame, void, undefined> {
  if (!worker) {
    let count = 0;
    for (const stretch of stretches)
      for await (const picture of decodeFrames(file, { ...decoding, ...stretch }))
        yield { ...picture, frame: count++ };
    return;
  }
  const { ring, signal, ...rest } = decoding;
  const pictures = sharedPictures(ring);
  const leave = new AbortController();
  const request: ReadingRequest = { file, decoding: rest, stretches, pictures };
  const reading = onOneThread<undefined>(worker, request, { signal: leave.signal });
  // What went wrong is told below, once the pictures before it have been looked at.
  const over = reading.then(
    () => undefined,
    () => undefined,
  );
  try {
    for (let frame = 0; ; frame++) {
      await Promise.race([untilCount(pictures, filled, frame + 1), over]);
      if (Atomics.load(pictures.counts, filled) <= frame) break;
      // Without it nothing else would be heard while there are pictures to look at.
      await new Promise((resolve) => setImmediate(resolve));
      throwIfStopped(signal);
      countUp(pictures, taken, frame + 1);
      const { width, height } = decoding;
      yield {
        frame,
        ptsS: pictures.ptsS[frame % ring.length],
        image: { width, height, data: ring[frame % ring.length] },
      };
    }
    await reading;
  } finally {
    leave.abort();
    // It may be waiting for room.
    countUp(pictures, taken, 2 ** 31 - 1);
    await over;
  }
}
