import { channel } from 'node:diagnostics_channel';
import path from 'node:path';
import { parentPort, Worker, workerData } from 'node:worker_threads';
import type { TracedPoints } from '../shared-lib/contract/desk.ts';
import { Failure, type FailureKind } from '../shared-lib/contract/errors.ts';
import { ChildError, stopped, throwIfStopped } from './media/process.ts';

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
  | { type: 'broken'; message: string; stack: string; wasKilled: boolean };

/** Tells of threads that died and were started again: `{ thread, error }`. */
export const restarts = channel('lockstep:thread-restarted');
export interface Restart {
  /** The thread's file. */
  thread: string;
  error: unknown;
}

/** A thread that ended without an answer, or a program that it waited for and somebody else ended. */
class Died extends Error {
  constructor(cause: unknown) {
    super('A thread died twice at its work.', { cause });
  }
}

/**
 * Runs work on a thread of its own, so that nothing else waits. A thread that dies, as when the system takes its memory,
 * or whose ffmpeg is ended by somebody else, is started again once, and the work with it; whatever else fails at once.
 *
 * @param stopping how a stop ends it: `at once`, for pure work; or `when asked`, for work that has programs of its own to end
 */
export async function onThread<Result>(
  worker: URL,
  input: unknown,
  job: { [Part in keyof ThreadJob]?: ThreadJob[Part] | undefined },
  stopping: 'at once' | 'when asked',
): Promise<Result> {
  try {
    return await onOneThread<Result>(worker, input, job, stopping);
  } catch (error) {
    if (!(error instanceof Died)) throw error;
    throwIfStopped(job.signal);
    const thread = path.basename(worker.pathname);
    restarts.publish({ thread, error: error.cause } satisfies Restart);
    return await onOneThread<Result>(worker, input, job, stopping);
  }
}

/** The same, but a thread that dies is not started again. */
export async function onOneThread<Result>(
  worker: URL,
  input: unknown,
  job: Parameters<typeof onThread>[2],
  stopping: Parameters<typeof onThread>[3],
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
          case 'broken': {
            const error = Object.assign(new Error(message.message), { stack: message.stack });
            reject(message.wasKilled ? new Died(error) : error);
            break;
          }
        }
      });
      thread.on('error', (error) => reject(new Died(error)));
      thread.on('exit', (code) => reject(new Died(new Error(`A thread ended with status ${code}.`))));
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
      const wasKilled = error instanceof Died || (error instanceof ChildError && error.wasKilled);
      post({ type: 'broken', message: fault.message, stack: fault.stack ?? '', wasKilled });
    }
  }
  port.close();
}
