import type { MediaInfo } from '../../shared-lib/contract/clip.ts';
import { decodeFrames } from './decode.ts';

/** Pictures are thrown away: as small as scaling allows. */
const thumbPx = 32;

/** The time stamps of all frames of a clip, seconds of file time, in order: one decode. */
export async function clipTimes(
  file: string,
  media: Pick<MediaInfo, 'widthPx' | 'heightPx' | 'bitDepth'>,
  ffmpeg: string,
  signal?: AbortSignal,
): Promise<number[]> {
  const { widthPx: width, heightPx: height, bitDepth } = media;
  const ptsS: number[] = [];
  const options = { ffmpeg, width, height, bitDepth, maxSidePx: thumbPx, signal };
  for await (const frame of decodeFrames(file, options)) ptsS.push(frame.ptsS);
  return ptsS;
}
