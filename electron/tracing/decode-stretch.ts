import type { GreyImage } from '../../shared-lib/picture/grey-image.ts';
import { decodeFrames, type DecodeOptions } from '../media/decode.ts';

/** The pictures of frames [from, to) of a clip, copied so that they last. */
export async function decodeStretch(
  file: string,
  decoding: DecodeOptions,
  ptsS: number[],
  from: number,
  to: number,
): Promise<{ ptsS: number; image: GreyImage }[]> {
  const margin = 1e-4;
  const stretch = { fromS: ptsS[from] - margin, toS: ptsS[to - 1] + margin };
  const pictures: { ptsS: number; image: GreyImage }[] = [];
  for await (const frame of decodeFrames(file, { ...decoding, ...stretch })) {
    pictures.push({ ptsS: frame.ptsS, image: { ...frame.image, data: frame.image.data.slice() } });
  }
  return pictures;
}
