import type { GreyImage } from '../../shared-lib/picture/grey-image.ts';
import { addToLook } from '../../shared-lib/trace/disc-look.ts';
import {
  followInto,
  restedUntil,
  startFollowing,
  type DiscMeasurement,
  type FollowState,
} from '../../shared-lib/trace/follow-disc.ts';
import type { ForwardDisc } from '../../shared-lib/trace/follow-pictures.ts';
import type { DecodeOptions } from '../media/decode.ts';
import { decodeStretch, groupsBackward, type FrameGroup } from './decode-stretch.ts';
import type { PassedPictures } from './passed-pictures.ts';
import type { PieceStore } from './piece-store.ts';
import type { Schedule } from './schedule.ts';

/** Pictures of a stretch decoded again, at most, and the memory they may take: a phone's group of pictures, a second long. */
const mostHeld = 64;
const mostHeldBytes = 130e6;

/** A clip whose pictures have gone by once. */
export interface PassedClip {
  file: string;
  decoding: DecodeOptions & { ring: readonly Uint8Array[] };
  /** Of all frames, seconds of file time. */
  ptsS: readonly number[];
  keyFrames: readonly number[];
  /** Of its first frames. */
  passed: PassedPictures;
  schedule: Schedule | null;
}

/**
 * Measurements of the frames before the disc's own start, in time order, and its look in them. What is not kept of the
 * pictures is decoded one group at a time.
 */
export async function followBackward(
  clip: PassedClip,
  disc: ForwardDisc,
  pieces: PieceStore,
  onProgress: (share: number) => void,
): Promise<DiscMeasurement[]> {
  const { ptsS, schedule } = clip;
  const looked = schedule?.looked ?? [{ from: 0, to: ptsS.length }];
  if (disc.start === looked[0].from) return [];
  const backward: DiscMeasurement[] = [];
  let state: FollowState | null = null;
  for (const stretch of looked.filter(({ from }) => from <= disc.start).reverse()) {
    // The seed's own picture comes first, to start from.
    const end = Math.min(stretch.to, disc.start + 1);
    if (state) state = restedUntil(state, ptsS[end]);
    for await (const { frame, image } of picturesBackward(clip, stretch.from, end)) {
      if (frame % 30 === 0) onProgress(1 - frame / (disc.start + 1));
      if (!state) {
        state = startFollowing(image, disc.rim, ptsS[frame]);
        continue;
      }
      const step = followInto(state, image, ptsS[frame]);
      state = step.state;
      backward.push(step.measurement);
      addToLook(disc.look, image, step, frame);
      const { xPx, yPx } = state.motion;
      pieces.keep(disc.seed, frame, image, { ...state.rim, xPx, yPx });
    }
  }
  return backward.reverse();
}

/** The pictures of frames [from, to), the last first; each lasts until the next is asked for, where compiled code sees it. */
export async function* picturesBackward(
  { file, decoding, ptsS, keyFrames, passed }: PassedClip,
  from: number,
  to: number,
): AsyncGenerator<{ frame: number; image: GreyImage }> {
  const { width, height } = decoding;
  const data = decoding.ring[0];
  let kept = to;
  while (kept > from && !passed.has(kept - 1)) kept--;
  const held = Math.max(8, Math.min(mostHeld, Math.floor(mostHeldBytes / data.length)));
  const room: Uint8Array[] = [];
  const decoded = async function* (group: FrameGroup) {
    const pictures = await decodeStretch(file, decoding, ptsS, group, room);
    for (const [k, { image }] of pictures.reverse().entries()) {
      data.set(image.data);
      yield { frame: group.to - 1 - k, image: { width, height, data } };
    }
  };
  for (const group of groupsBackward(ptsS, keyFrames, kept, to, held)) yield* decoded(group);
  for (let frame = kept - 1; frame >= from; frame--) {
    if (passed.fetch(frame, data)) yield { frame, image: { width, height, data } };
    else yield* decoded({ from: frame, to: frame + 1 });
  }
}
