import { settleByPose } from '../../shared-lib/camera/settle-by-pose.ts';
import type { MediaInfo } from '../../shared-lib/contract/clip.ts';
import type { FixedPoint } from '../../shared-lib/contract/review.ts';
import type { Trace } from '../../shared-lib/contract/trace.ts';
import type { GreyImage } from '../../shared-lib/picture/grey-image.ts';
import {
  agreesWithHand,
  correctTrace,
  givenUpAfterS,
  reachOf,
  rejoinedAt,
  type FollowedAgain,
} from '../../shared-lib/trace/corrections.ts';
import { steadied, viewOf } from '../../shared-lib/trace/disc-views.ts';
import {
  followInto,
  startFollowing,
  type DiscMeasurement,
  type FollowState,
} from '../../shared-lib/trace/follow-disc.ts';
import type { DecodeOptions } from '../media/decode.ts';
import { decodeStretch } from './decode-stretch.ts';
import type { TrackOptions } from './track-clip.ts';

export interface FollowAgainRequest {
  file: string;
  ffmpeg: string;
  media: MediaInfo;
  trace: Trace;
  points: readonly FixedPoint[];
}

/** Pictures decoded at a time. */
const held = 32;
/** Share of the rays on which the rim must show for its centre to be settled by the camera's pose. */
const leastShown = 0.4;

/**
 * The trace with a hand's fixed points in it. From each point the disc is followed again, forward and backward, until
 * the pictures agree with the trace as it was, or half the way to the next point.
 */
export async function followAgain(request: FollowAgainRequest, options: TrackOptions = {}): Promise<Trace> {
  const { trace, media } = request;
  const points = request.points.filter(({ frame }) => frame < trace.samples.length);
  const decoding: DecodeOptions = {
    ffmpeg: request.ffmpeg,
    width: media.widthPx,
    height: media.heightPx,
    bitDepth: media.bitDepth,
    softeningPx: trace.softeningPx,
    signal: options.signal,
  };
  const again: FollowedAgain[] = [];
  for (const point of points) {
    for (const step of [-1, 1] as const) {
      again.push({ point, step, places: await placesFrom(point, step) });
      options.onProgress?.(again.length / (2 * points.length));
    }
  }
  return correctTrace(trace, points, again);

  async function placesFrom(point: FixedPoint, step: 1 | -1): Promise<DiscMeasurement[] | null> {
    const last = reachOf(points, point, step, trace.samples.length);
    const ptsS = trace.samples.map((sample) => sample.ptsS);
    const places: DiscMeasurement[] = [];
    let state: FollowState | null = null;
    let seen = 0;
    // The point's own picture comes first, to start from.
    for (let from = point.frame; (last - from) * step >= 0; from += step * held) {
      const to = step > 0 ? Math.min(last, from + held - 1) : Math.max(last, from - held + 1);
      const [first, end] = step > 0 ? [from, to] : [to, from];
      const pictures = await decodeStretch(request.file, decoding, ptsS, { from: first, to: end + 1 });
      if (step < 0) pictures.reverse();
      for (const picture of pictures) {
        state ??= startFollowing(
          picture.image,
          { ...trace.rim, xPx: point.xPx, yPx: point.yPx },
          picture.ptsS,
        );
        const next = followInto(state, picture.image, picture.ptsS);
        state = next.state;
        const place = settled(picture.image, next.measurement, point.frame + step * seen);
        if (seen++ === 0) {
          if (!agreesWithHand(point, place, trace.rim)) return null;
          continue;
        }
        places.push(place);
        const rejoined = rejoinedAt(trace, point, step, places);
        if (rejoined !== null) return places.slice(0, rejoined);
        if (state.unseenS > givenUpAfterS) return places;
      }
    }
    return places;
  }

  /** The near face's own centre, where the camera's pose is known and the trace was settled by it. */
  function settled(image: GreyImage, place: DiscMeasurement, frame: number): DiscMeasurement {
    const { pose } = trace;
    if (!pose || pose.offset.dxPx !== 0 || pose.offset.dyPx !== 0 || !(place.confidence > 0)) return place;
    const ring = { ...trace.rim, xPx: place.xPx, yPx: place.yPx };
    const [view] = steadied([viewOf(image, ring, frame)], trace, 1);
    const found = settleByPose(view, pose, { picture: media, bow: trace.lens, smearXPx: 0, smearYPx: 0 });
    if (!found || found.shown < leastShown) return place;
    const { varXPx2, varYPx2, covXYPx2 } = found;
    return {
      ...place,
      xPx: place.xPx + found.dxPx,
      yPx: place.yPx + found.dyPx,
      varXPx2,
      varYPx2,
      covXYPx2,
    };
  }
}
