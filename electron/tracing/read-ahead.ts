import { decodeFrames, ringSize, type DecodeOptions } from '../media/decode.ts';
import { countUp, filled, taken, untilCount, type SharedPictures } from './shared-pictures.ts';

export interface ReadingRequest {
  file: string;
  decoding: Omit<DecodeOptions, 'ring' | 'signal'>;
  pictures: SharedPictures;
}

/** Decodes a clip into shared pictures, as far ahead of whoever looks at them as there is room. */
export async function readAhead(
  { file, decoding, pictures }: ReadingRequest,
  { signal }: { signal: AbortSignal },
): Promise<void> {
  const { ring, ptsS: times } = pictures;
  for await (const { frame, ptsS } of decodeFrames(file, { ...decoding, ring, signal })) {
    times[frame % ring.length] = ptsS;
    countUp(pictures, filled, frame + 1);
    // The next picture takes the place of one that must have had `ringSize` yielded from itself on.
    await untilCount(pictures, taken, frame + 2 - ring.length + ringSize);
  }
}
