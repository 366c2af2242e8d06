import { Failure } from '../../shared-lib/contract/errors.ts';
import type { MediaInfo } from '../../shared-lib/contract/clip.ts';
import { PointFollower, patchFactor, type PointMeasurement } from '../../shared-lib/trace/follow-point.ts';
import { throwIfStopped } from '../media/process.ts';
import { decodeStretch } from './decode-stretch.ts';

/** Pictures held at once. */
const held = 48;

export interface PointRequest {
  file: string;
  ffmpeg: string;
  media: MediaInfo;
  /** File time of every frame. */
  ptsS: readonly number[];
  mark: { frame: number; xPx: number; yPx: number };
  /** What is followed, in words. */
  called: string;
  /** Of what is followed; a joint's unless said otherwise. */
  widthM?: number | undefined;
  /** First and last frame to follow through, the last included. */
  from: number;
  to: number;
  /** Near the point. */
  metresPerPx: number;
}

/** Follows a point from the frame in which it was marked to both ends; one entry a frame from `from` to `to`. */
export async function followPointInClip(
  request: PointRequest,
  job: { signal: AbortSignal; onProgress: (share: number) => void },
): Promise<PointMeasurement[]> {
  const { file, ffmpeg, media, ptsS, mark, called, widthM, from, to, metresPerPx } = request;
  const decoding = { ffmpeg, width: media.widthPx, height: media.heightPx, bitDepth: media.bitDepth };
  const out = Array.from<PointMeasurement>({ length: to - from + 1 }).fill(unseen);
  let done = 0;
  const stretch = async (first: number, last: number) => {
    throwIfStopped(job.signal);
    const own = { ...decoding, signal: job.signal };
    const pictures = await decodeStretch(file, own, ptsS, { from: first, to: last + 1 });
    done += pictures.length;
    job.onProgress(Math.min(1, done / out.length));
    return pictures;
  };
  const begin = async (): Promise<PointFollower> => {
    const [picture] = await stretch(mark.frame, mark.frame);
    const follower = PointFollower.at(picture.image, mark.xPx, mark.yPx, patchFactor(metresPerPx, widthM));
    if (follower) return follower;
    throw new Failure(
      'usage',
      `There is too little to tell the ${called} from its surroundings in that picture.`,
      'Mark it where an edge, a seam or a shoe shows, or in a sharper picture.',
    );
  };
  const forward = await begin();
  out[mark.frame - from] = { xPx: mark.xPx, yPx: mark.yPx, sigmaPx: 0, confidence: 1 };
  for (let first = mark.frame + 1; first <= to; first += held) {
    const pictures = await stretch(first, Math.min(to, first + held - 1));
    pictures.forEach(({ image }, i) => (out[first + i - from] = forward.next(image)));
  }
  const backward = mark.frame > from ? await begin() : null;
  for (let last = mark.frame - 1; backward && last >= from; last -= held) {
    const first = Math.max(from, last - held + 1);
    const pictures = await stretch(first, last);
    for (let i = pictures.length - 1; i >= 0; i--) out[first + i - from] = backward.next(pictures[i].image);
  }
  return out;
}

const unseen: PointMeasurement = { xPx: NaN, yPx: NaN, sigmaPx: NaN, confidence: 0 };
