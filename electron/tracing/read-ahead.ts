import type { Stretch } from '../media/arguments.ts';
import { decodeFrames, ringSize, type DecodeOptions } from '../media/decode.ts';
import { countUp, filled, taken, untilCount, type SharedPictures } from './shared-pictures.ts';

export interface ReadingRequest {
  file: string;
  decoding: Omit<DecodeOptions, 'ring' | 'signal'>;
  /** One after the other; `[{}]` for the whole clip. */
  stretches: readonly Stretch[];
  pictures: SharedPictures;
}

/** Decodes stretches of a clip into shared pictures, as far ahead of whoever looks at them as there is room. */
export async function readAhead(
  { file, decoding, stretches, pictures }: ReadingRequest,
  { signal }: { signal: AbortSignal },
): Promise<void> {
  const { ring, ptsS: times } = pictures;
  let count = 0;
  for (const stretch of stretches) {
    const first = count % ring.length;
    const turned = [...ring.slice(first), ...ring.slice(0, first)];
    for await (const { ptsS } of decodeFrames(file, { ...decoding, ...stretch, ring: turned, signal })) {
      times[count % ring.length] = ptsS;
      count++;
      countUp(pictures, filled, count);
      // The next picture takes the place of one that must have had `ringSize` yielded from itself on.
      await untilCount(pictures, taken, count + 1 - ring.length + ringSize);
    }
  }
}
