import { parentPort, workerData } from 'node:worker_threads';
import { Failure, type FailureKind } from '../../shared-lib/contract/errors.ts';
import { trackClip, type TrackedClip, type TrackRequest } from './track-clip.ts';

export type WorkerMessage =
  | { type: 'progress'; share: number }
  | { type: 'done'; tracked: TrackedClip }
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
  const tracked = await trackClip(workerData as TrackRequest, {
    signal: stop.signal,
    onProgress: (share) => post({ type: 'progress', share }),
  });
  post({ type: 'done', tracked });
} catch (error) {
  if (error instanceof Failure) {
    post({ type: 'failed', kind: error.kind, what: error.what, advice: error.advice });
  } else {
    const fault = error instanceof Error ? error : new Error(String(error));
    post({ type: 'broken', message: fault.message, stack: fault.stack ?? '' });
  }
}
port.close();
