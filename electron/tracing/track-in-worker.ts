import { Worker } from 'node:worker_threads';
import { Failure } from '../../shared-lib/contract/errors.ts';
import { throwIfStopped } from '../media/process.ts';
import type { Trace } from '../../shared-lib/contract/trace.ts';
import type { FollowAgainRequest } from './follow-again.ts';
import type { TrackedClip, TrackOptions, TrackRequest } from './track-clip.ts';
import type { WorkerMessage } from './worker.ts';

/** The worker's file beside this one: as source while developing, as built in dist. */
const workerFile = new URL(
  import.meta.url.endsWith('.ts') ? './worker.ts' : './tracing-worker.js',
  import.meta.url,
);

/** Tracks a clip on a thread of its own, so that two clips take two cores and nothing else waits. */
export const trackInWorker = (request: TrackRequest, options: TrackOptions = {}): Promise<TrackedClip> =>
  inWorker<TrackedClip>(request, options);

/** Follows again from a hand's fixed points, on a thread of its own. */
export const followAgainInWorker = (
  request: FollowAgainRequest,
  options: TrackOptions = {},
): Promise<Trace> => inWorker<Trace>(request, options);

async function inWorker<Result>(
  request: TrackRequest | FollowAgainRequest,
  options: TrackOptions,
): Promise<Result> {
  throwIfStopped(options.signal);
  const worker = new Worker(workerFile, { workerData: request });
  const stop = (): void => worker.postMessage('stop');
  options.signal?.addEventListener('abort', stop, { once: true });
  try {
    return await new Promise<Result>((resolve, reject) => {
      worker.on('message', (message: WorkerMessage) => {
        switch (message.type) {
          case 'progress':
            options.onProgress?.(message.share);
            break;
          case 'traced':
            options.onTraced?.(message.points);
            break;
          case 'done':
            resolve(message.result as Result);
            break;
          case 'failed':
            reject(new Failure(message.kind, message.what, message.advice));
            break;
          case 'broken':
            reject(Object.assign(new Error(message.message), { stack: message.stack }));
            break;
        }
      });
      worker.on('error', reject);
      worker.on('exit', (code) => reject(new Error(`The tracing worker ended with status ${code}.`)));
    });
  } finally {
    options.signal?.removeEventListener('abort', stop);
    await worker.terminate();
  }
}
