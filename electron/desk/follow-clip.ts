import type { TracedPoints } from '../../shared-lib/contract/desk.ts';
import type { ClipOptions, SideName } from '../../shared-lib/contract/review.ts';
import type { MediaTools } from '../media/find-ffmpeg.ts';
import { isSource } from '../built-file.ts';
import { startAhead } from '../kept-threads.ts';
import { probeClip } from '../media/probe.ts';
import { followAgainInWorker, trackInWorker, trackSleeveEndInWorker } from '../tracing/track-in-worker.ts';
import { calibrated, checkInside, ruler, type FollowedClip, type TrackedFile } from './calibrated-clip.ts';
import { drawingThread } from './drawing-thread.ts';

/** How a long job is stopped and how it tells its progress. */
export interface Job {
  signal: AbortSignal;
  /** Share of the job done, 0 to 1. */
  onProgress: (share: number) => void;
  /** Told what has been followed so far, and of which side, where somebody looks on. */
  onTraced?: (points: TracedPoints, side?: SideName) => void;
}

export interface ClipRequest {
  file: string;
  options: ClipOptions;
}

/** @param track how pictures become a trace; on a thread of its own unless said otherwise */
export async function followClip(
  request: ClipRequest,
  tools: MediaTools,
  job: Job,
  track: typeof trackInWorker = trackInWorker,
): Promise<FollowedClip> {
  const { file, options } = request;
  const tracked = await trackFile(file, options, tools, job, track);
  return calibrated(file, await corrected(file, tracked, options, tools, job), options);
}

/** Share of following, between its last picture's and that of what was followed being looked at again. */
export const decodedShare = 0.8;

/** What is drawn from a clip comes next: its thread is there by then. */
const drawingNext = ({ onProgress, ...job }: Job): Job => ({
  ...job,
  onProgress: (share) => {
    // As source there is no such file.
    if (share > decodedShare && !isSource) startAhead(drawingThread);
    onProgress(share);
  },
});

/** Reads a clip's pictures. What comes out is decided by `followedBy` alone. */
export async function trackFile(
  file: string,
  options: Pick<ClipOptions, 'seed' | 'plumb' | 'rim' | 'sleeveEnd' | 'whole'>,
  tools: MediaTools,
  job: Job,
  track: typeof trackInWorker = trackInWorker,
): Promise<TrackedFile> {
  const media = await probeClip(file, tools, job.signal);
  checkInside(media, options);
  const { seed, rim, sleeveEnd, whole } = options;
  const request = { file, ffmpeg: tools.ffmpeg, media };
  if (!sleeveEnd) return { media, ...(await track({ ...request, seed, whole }, drawingNext(job))) };
  return { media, ...(await trackSleeveEndInWorker({ ...request, sleeveEnd, rim: ruler(rim) }, job)) };
}

/** Follows again from the points that a hand fixed. */
export async function corrected(
  file: string,
  tracked: TrackedFile,
  { fixed: points, sleeveEnd }: Pick<ClipOptions, 'fixed' | 'sleeveEnd'>,
  tools: MediaTools,
  job: Job,
): Promise<TrackedFile> {
  // Where the sleeve's end is followed the disc itself cannot be.
  if (points.length === 0 || sleeveEnd) return tracked;
  const { media, trace } = tracked;
  const again = await followAgainInWorker({ file, ffmpeg: tools.ffmpeg, media, trace, points }, job);
  return { ...tracked, trace: again };
}
