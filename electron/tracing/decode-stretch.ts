import { timeAfter, timeBefore } from '../../shared-lib/motion/frame-times.ts';
import type { GreyImage } from '../../shared-lib/picture/grey-image.ts';
import { decodeFrames, type DecodeOptions } from '../media/decode.ts';

/** The file times between which frames `from` to `to`, the last included, are decoded, however coarse the file's clock. */
export const stretchOf = (ptsS: readonly number[], from: number, to: number) => ({
  fromS: timeBefore(ptsS, from),
  toS: timeAfter(ptsS, to),
});

/**
 * The pictures of frames [from, to) of a clip, copied so that they last.
 *
 * @param room of the pictures of a stretch before, which are not looked at any more; grows as far as it is needed
 */
export async function decodeStretch(
  file: string,
  decoding: DecodeOptions,
  ptsS: readonly number[],
  from: number,
  to: number,
  room: Uint8Array[] = [],
): Promise<{ ptsS: number; image: GreyImage }[]> {
  const pictures: { ptsS: number; image: GreyImage }[] = [];
  for await (const frame of decodeFrames(file, { ...decoding, ...stretchOf(ptsS, from, to - 1) })) {
    const data = (room[pictures.length] ??= new Uint8Array(frame.image.data.length));
    data.set(frame.image.data);
    pictures.push({ ptsS: frame.ptsS, image: { ...frame.image, data } });
  }
  return pictures;
}
