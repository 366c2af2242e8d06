import type { OutputOf } from '../../shared-lib/contract/desk.ts';
import { followedBy, type ClipRef, type ReviewSide } from '../../shared-lib/contract/review.ts';
import { clipTimes } from '../media/clip-times.ts';
import { probeClip } from '../media/probe.ts';
import { byName } from './by-name.ts';
import { calibratedOnce, type FollowedClip } from './calibrated-clip.ts';
import { corrected, trackFile, type Job } from './follow-clip.ts';
import type { Desk } from './handlers.ts';
import { unwatched } from './jobs.ts';

type Reading = Omit<Desk, 'queue'>;

/** A side's clip, followed with what is said of it; the pictures are gone through once and no more. */
export async function followedOf(
  desk: Reading,
  { clip: { sha256 }, options }: Pick<ReviewSide, 'clip' | 'options'>,
  job: Job,
): Promise<FollowedClip> {
  const { path: file, ref } = await desk.clips.find(sha256);
  const { fixed, sleeveEnd } = options;
  const tools = desk.tools();
  const read = { sha256, ...followedBy(options) };
  return byName(file, ref.name, async () => {
    const tracked = await desk.results.of('tracked', read, job, (each) =>
      trackFile(file, options, tools, each),
    );
    const traced =
      fixed.length === 0 || sleeveEnd
        ? tracked
        : await desk.results.of('corrected', { ...read, fixed }, job, (each) =>
            corrected(file, tracked, options, tools, each),
          );
    job.onProgress(1);
    // The file may have moved since.
    return calibratedOnce(file, { ...traced, media: { ...traced.media, file } }, options);
  });
}

/** What a clip is, and when each of its frames is shown. */
export async function lookAt(
  desk: Reading,
  sha256: ClipRef['sha256'],
  job: Job,
): Promise<OutputOf<'lookAtClip'>> {
  const { path: file, ref } = await desk.clips.find(sha256);
  const tools = desk.tools();
  const looked = await byName(file, ref.name, () =>
    desk.results.of('look', { sha256 }, job, async ({ signal }) => {
      const media = await probeClip(file, tools, signal);
      return { media, ptsS: await clipTimes(file, media, tools.ffmpeg, signal) };
    }),
  );
  return { ...looked, media: { ...looked.media, file } };
}

/** The picture of one frame as a JPEG; null where there is none. */
export function pictureOf(
  desk: Desk,
  sha256: string,
  frame: number,
  widthPx: number | null,
): Promise<Buffer | null> {
  return desk.askedFirst
    .during(async () => (await stillsOf(desk, sha256, widthPx)).get(frame))
    .catch(() => null);
}

/** Stills of a clip by frame index. */
export async function stillsOf(desk: Desk, sha256: string, widthPx: number | null) {
  return desk.stills.of(sha256, widthPx, async () => {
    const { media, ptsS } = await lookAt(desk, sha256, unwatched());
    return {
      path: media.file,
      ptsS,
      widthPx: media.widthPx,
      heightPx: media.heightPx,
      transfer: media.transfer,
    };
  });
}
