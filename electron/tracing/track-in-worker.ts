import type { Trace } from '../../shared-lib/contract/trace.ts';
import { onThread } from '../threads.ts';
import { amongClips } from './among-clips.ts';
import type { FollowAgainRequest } from './follow-again.ts';
import type { TrackedClip, TrackOptions, TrackRequest } from './track-clip.ts';
import type { SleeveEndRequest } from './track-sleeve-end.ts';

/** The worker's file beside this one: as source while developing, as built in dist. */
const workerFile = new URL(
  import.meta.url.endsWith('.ts') ? './worker.ts' : './tracing-worker.js',
  import.meta.url,
);

/** Tracks a clip on a thread of its own, so that two clips take two cores and nothing else waits. */
export const trackInWorker = (request: TrackRequest, options: TrackOptions = {}): Promise<TrackedClip> =>
  amongClips((clips) => onThread<TrackedClip>(workerFile, { ...request, clips }, options, 'when asked'));

/** Follows the sleeve's end, on a thread of its own. */
export const trackSleeveEndInWorker = (
  request: SleeveEndRequest,
  options: TrackOptions = {},
): Promise<TrackedClip> => onThread<TrackedClip>(workerFile, request, options, 'when asked');

/** Follows again from a hand's fixed points, on a thread of its own. */
export const followAgainInWorker = (
  request: FollowAgainRequest,
  options: TrackOptions = {},
): Promise<Trace> => onThread<Trace>(workerFile, request, options, 'when asked');
