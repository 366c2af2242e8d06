import { timeAfter, timeBefore } from '../../shared-lib/motion/frame-times.ts';
import type { GreyImage } from '../../shared-lib/picture/grey-image.ts';
import type { Stretch } from '../media/arguments.ts';
import { decodeFrames, ringSize, type DecodeOptions } from '../media/decode.ts';
import { fittedSize } from '../media/orientation.ts';

/** The file times between which frames `from` to `to`, the last included, are decoded, however coarse the file's clock. */
export const stretchOf = (ptsS: readonly number[], from: number, to: number) => ({
  fromS: timeBefore(ptsS, from),
  toS: timeAfter(ptsS, to),
});

/** Frames [from, to) of a clip, and where its reading starts, where that is known. */
export interface FrameGroup {
  from: number;
  to: number;
  seekS?: number;
}

/**
 * Frames [from, to) in groups of at most so many, the last group first. A group begins with a key frame where one is known
 * that is not too far back: a decoder begins with one anyhow, and each would be decoded as often as groups are cut from it.
 *
 * @param keyFrames known ones, ascending
 */
export function groupsBackward(
  ptsS: readonly number[],
  keyFrames: readonly number[],
  from: number,
  to: number,
  most: number,
): FrameGroup[] {
  const groups: FrameGroup[] = [];
  for (let end = to; end > from;) {
    const least = Math.max(from, end - most);
    const keys = keyFrames.filter((key) => key >= least && key < end);
    const begin = least === from ? from : (keys.at(0) ?? least);
    const isKey = keys.at(0) === begin;
    // Of the frames of one group of pictures the last is the surest not to be taken for the group before it.
    groups.push({ from: begin, to: end, ...(isKey ? { seekS: ptsS[(keys.at(1) ?? end) - 1] } : {}) });
    end = begin;
  }
  return groups;
}

/**
 * The pictures of frames [from, to) of a clip; they last as long as `room` is left alone.
 *
 * @param room of the pictures of a stretch before, which are not looked at any more; grows as far as it is needed
 */
export async function decodeStretch(
  file: string,
  decoding: DecodeOptions,
  ptsS: readonly number[],
  { from, to, seekS }: FrameGroup,
  room: Uint8Array[] = [],
): Promise<{ ptsS: number; image: GreyImage }[]> {
  const { widthPx, heightPx } = fittedSize(decoding.width, decoding.height, decoding.maxSidePx);
  while (room.length < Math.max(ringSize, to - from)) room.push(new Uint8Array(widthPx * heightPx));
  const stretch: Stretch = { ...stretchOf(ptsS, from, to - 1), seekS };
  const pictures: { ptsS: number; image: GreyImage }[] = [];
  for await (const { ptsS: at, image } of decodeFrames(file, { ...decoding, ...stretch, ring: room }))
    pictures.push({ ptsS: at, image });
  return pictures;
}
