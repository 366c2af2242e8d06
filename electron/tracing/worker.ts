import { parentPort, workerData } from 'node:worker_threads';
import { Failure, type FailureKind } from '../../shared-lib/contract/errors.ts';
import type { Trace } from '../../shared-lib/contract/trace.ts';
import type { TracedPoints } from '../../shared-lib/contract/desk.ts';
import { followAgain, type FollowAgainRequest } from './follow-again.ts';
import { trackClip, type TrackedClip, type TrackOptions, type TrackRequest } from './track-clip.ts';

export type WorkerMessage =
  | { type: 'progress'; share: number }
  | { type: 'traced'; points: TracedPoints }
  | { type: 'done'; result: TrackedClip | Trace }
  | { type: 'failed'; kind: FailureKind; what: string; advice: string }
  | { type: 'broken'; message: string; stack: string };

const port = parentPort;
if (!port) throw new Error('The tracing worker runs as a worker thread only.');
const post = (message: WorkerMessage): void => port.postMessage(message);

const stop = new AbortController();
port.on('message', (message: unknown) => {
  if (message === 'stop') stop.abort();
});

try {
  const options: TrackOptions = {
    signal: stop.signal,
    onProgress: (share) => post({ type: 'progress', share }),
    onTraced: (points) => post({ type: 'traced', points }),
  };
  const request = workerData as TrackRequest | FollowAgainRequest;
  const result = await ('trace' in request ? followAgain(request, options) : trackClip(request, options));
  post({ type: 'done', result });
} catch (error) {
  if (error instanceof Failure) {
    post({ type: 'failed', kind: error.kind, what: error.what, advice: error.advice });
  } else {
    const fault = error instanceof Error ? error : new Error(String(error));
    post({ type: 'broken', message: fault.message, stack: fault.stack ?? '' });
  }
}
port.close();
