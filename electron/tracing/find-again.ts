import type { FrameStretch } from '../../shared-lib/contract/trace.ts';
import type { GreyImage } from '../../shared-lib/picture/grey-image.ts';
import {
  correctMotion,
  predictMotion,
  startMotion,
  type DiscMotion,
} from '../../shared-lib/trace/disc-motion.ts';
import { longestCoastS } from '../../shared-lib/trace/follow-disc.ts';
import type { Position } from '../../shared-lib/trace/fuse-positions.ts';
import { decodeFrames, type DecodeOptions } from '../media/decode.ts';
import { decodeStretch, groupsBackward, stretchOf } from './decode-stretch.ts';

/** The disc in a picture, near where its motion leads; null where it does not show there. */
export type LookNear = (frame: number, image: GreyImage, expected: DiscMotion) => Position | null;

/** Pictures held at once on the way back. */
const mostHeld = 24;

/**
 * Looks for the disc in pictures in which it was lost, from where it was last seen onward and from where it is next seen
 * back, each time where its motion so far leads. A gap is left where the disc has not shown for as long as it may coast.
 *
 * @param gaps ascending, apart
 * @param seen where the disc was seen, by frame
 * @returns where it was found in the gaps, by frame
 */
export async function findAgain(
  file: string,
  decoding: DecodeOptions,
  clip: { ptsS: readonly number[]; pxPerM: number },
  gaps: readonly FrameStretch[],
  seen: ReadonlyMap<number, Position>,
  lookNear: LookNear,
): Promise<Map<number, Position>> {
  const found = new Map<number, Position>();
  const room: Uint8Array[] = [];
  for (const { from, to } of gaps) {
    const onward = walkFrom(from - 1, 1);
    let frame = from;
    if (onward)
      for await (const { image } of decodeFrames(file, {
        ...decoding,
        ...stretchOf(clip.ptsS, from, to - 1),
      }))
        if (frame >= to || !onward(frame++, image)) break;
    const back = walkFrom(to, -1);
    const left = [...found.keys()].reduce((last, at) => Math.max(last, at), from - 1) + 1;
    for (const group of back ? groupsBackward(clip.ptsS, [], left, to, mostHeld) : []) {
      const pictures = await decodeStretch(file, decoding, clip.ptsS, group, room);
      const isLeft = pictures.reverse().some(({ image }, k) => !back!(group.to - 1 - k, image));
      if (isLeft) break;
    }
  }
  return found;

  /** Looks in one picture after another; false once the disc may be anywhere. Null where it was not seen at the start. */
  function walkFrom(start: number, step: 1 | -1): ((frame: number, image: GreyImage) => boolean) | null {
    let motion = motionAt(start, step);
    if (!motion) return null;
    return (frame, image) => {
      const tS = step * clip.ptsS[frame];
      if (tS - motion!.tS > longestCoastS) return false;
      const expected = predictMotion(motion!, tS, clip.pxPerM);
      const there = lookNear(frame, image, expected);
      if (there) {
        found.set(frame, there);
        motion = corrected(expected, there);
      }
      return true;
    };
  }

  /** The disc's motion up to a frame, from where it was seen shortly before, in time that runs along with the walk. */
  function motionAt(start: number, step: 1 | -1): DiscMotion | null {
    if (!seen.has(start)) return null;
    const timeOf = (frame: number): number => step * clip.ptsS[frame];
    const before: number[] = [];
    for (let frame = start; timeOf(start) - timeOf(frame) < longestCoastS; frame -= step)
      if (seen.has(frame)) before.push(frame);
    return before.reduceRight<DiscMotion | null>((motion, frame) => {
      const there = seen.get(frame)!;
      if (!motion) return startMotion(timeOf(frame), there.xPx, there.yPx, clip.pxPerM);
      return corrected(predictMotion(motion, timeOf(frame), clip.pxPerM), there);
    }, null);
  }
}

const corrected = (expected: DiscMotion, { xPx, yPx, varXPx2, varYPx2 }: Position): DiscMotion =>
  correctMotion(expected, xPx, yPx, (varXPx2 + varYPx2) / 2);
