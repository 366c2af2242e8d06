import type { Trace } from '../../shared-lib/contract/trace.ts';
import { isSource } from '../built-file.ts';
import { endIdle, onKeptThread, type Keeping } from '../kept-threads.ts';
import type { ThreadCaller } from '../threads.ts';
import { amongClips } from './among-clips.ts';
import type { FollowAgainRequest } from './follow-again.ts';
import type { TrackedClip, TrackOptions, TrackRequest } from './track-clip.ts';
import type { SleeveEndRequest } from './track-sleeve-end.ts';

/** The worker's file beside this one: as source while developing, as built in dist. */
const workerFile = new URL(isSource ? './worker.ts' : './tracing-worker.js', import.meta.url);

/** Long enough for the next clip of a queue, which then waits for no code to be compiled (set by judgement); what comes after the last has the memory. */
export const tracingKept: Keeping = { keptMs: 3000, stopping: 'when asked' };

const onTracingThread = <Result>(request: unknown, job: ThreadCaller): Promise<Result> =>
  onKeptThread<Result>(workerFile, request, job, tracingKept);

/** Tracks a clip on a thread of its own, so that two clips take two cores and nothing else waits. */
export const trackInWorker = (request: TrackRequest, options: TrackOptions = {}): Promise<TrackedClip> =>
  amongClips((clips) => onTracingThread<TrackedClip>({ ...request, clips }, options));

/** Follows the sleeve's end, on a thread of its own. */
export const trackSleeveEndInWorker = (
  request: SleeveEndRequest,
  options: TrackOptions = {},
): Promise<TrackedClip> => onTracingThread<TrackedClip>(request, options);

/** Follows again from a hand's fixed points, on a thread of its own. */
export const followAgainInWorker = (
  request: FollowAgainRequest,
  options: TrackOptions = {},
): Promise<Trace> => onTracingThread<Trace>(request, options);

/** Gives the memory of threads that wait for a clip to what is done with those that were followed. */
export const endTracing = (): void => endIdle(workerFile);
