import { parentPort, Worker, workerData } from 'node:worker_threads';
import type { TracedPoints } from '../shared-lib/contract/desk.ts';
import { Failure, type FailureKind } from '../shared-lib/contract/errors.ts';
import { stopped, throwIfStopped } from './media/process.ts';

/** What a thread tells whoever waits for it, and how it is told to stop. */
export interface ThreadJob {
  signal: AbortSignal;
  onProgress: (share: number) => void;
  onTraced: (points: TracedPoints) => void;
}

type Message =
  | { type: 'progress'; share: number }
  | { type: 'traced'; points: TracedPoints }
  | { type: 'done'; result: unknown }
  | { type: 'failed'; kind: FailureKind; what: string; advice: string }
  | { type: 'broken'; message: string; stack: string };

/**
 * Runs work on a thread of its own, so that nothing else waits.
 *
 * @param stopping how a stop ends it: `at once`, for pure work; or `when asked`, for work that has programs of its own to end
 */
export async function onThread<Result>(
  worker: URL,
  input: unknown,
  job: { [Part in keyof ThreadJob]?: ThreadJob[Part] | undefined },
  stopping: 'at once' | 'when asked',
): Promise<Result> {
  throwIfStopped(job.signal);
  const thread = new Worker(worker, { workerData: input });
  let stop = (): void => undefined;
  try {
    return await new Promise<Result>((resolve, reject) => {
      stop = () => (stopping === 'at once' ? reject(stopped()) : thread.postMessage('stop'));
      job.signal?.addEventListener('abort', stop, { once: true });
      thread.on('message', (message: Message) => {
        switch (message.type) {
          case 'progress':
            job.onProgress?.(message.share);
            break;
          case 'traced':
            job.onTraced?.(message.points);
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
      thread.on('error', reject);
      thread.on('exit', (code) => reject(new Error(`A thread ended with status ${code}.`)));
    });
  } finally {
    job.signal?.removeEventListener('abort', stop);
    await thread.terminate();
  }
}

/** The other end of `onThread`: does the work with the input it was given and answers. */
export async function answerOnThread<Input>(
  work: (input: Input, job: ThreadJob) => Promise<unknown>,
): Promise<void> {
  if (!parentPort) throw new Error('This file runs as a worker thread only.');
  const port = parentPort;
  const post = (message: Message): void => port.postMessage(message);
  const stop = new AbortController();
  port.on('message', (message: unknown) => {
    if (message === 'stop') stop.abort();
  });
  try {
    const result = await work(workerData as Input, {
      signal: stop.signal,
      onProgress: (share) => post({ type: 'progress', share }),
      onTraced: (points) => post({ type: 'traced', points }),
    });
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
}
