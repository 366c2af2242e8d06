import path from 'node:path';
import { type MessagePort, parentPort, Worker, workerData } from 'node:worker_threads';
import type { TracedPoints } from '../shared-lib/contract/desk.ts';
import { Failure, type FailureKind } from '../shared-lib/contract/errors.ts';
import { ChildError, throwIfStopped } from './media/process.ts';
import { twiceAtMost } from './restarts.ts';

/** What a thread tells whoever waits for it, and how it is told to stop. */
export interface ThreadJob {
  signal: AbortSignal;
  onProgress: (share: number) => void;
  onTraced: (points: TracedPoints) => void;
}

/** Whoever waits for a thread: hears what it cares for. */
export type ThreadCaller = { [Part in keyof ThreadJob]?: ThreadJob[Part] | undefined };

type Message =
  | { type: 'progress'; share: number }
  | { type: 'traced'; points: TracedPoints }
  | { type: 'done'; result: unknown }
  | { type: 'failed'; kind: FailureKind; what: string; advice: string }
  | { type: 'broken'; message: string; stack: string; wasKilled: boolean };

/** A thread that ended without an answer, or a program that it waited for and somebody else ended. */
export class Died extends Error {
  constructor(cause: unknown) {
    super('A thread died twice at its work.', { cause });
  }
}

/** Does work on a thread, and once more where the thread dies. */
export const twiceOnThread = <Result>(
  worker: URL,
  { signal }: Pick<ThreadCaller, 'signal'>,
  work: () => Promise<Result>,
): Promise<Result> =>
  twiceAtMost(path.basename(worker.pathname), signal, (error) => error instanceof Died, work);

/**
 * Room for what a thread has just made and mostly drops at once, and for what it holds. With Node's own 48 MB of the first
 * each thread grows by tens of megabytes and is no faster; below 1 GB of the second it collects before what it holds has
 * doubled. The longest clip takes 650 MB of it (computed from 3 kB a picture).
 */
export const threadRoom = { maxYoungGenerationSizeMb: 6, maxOldGenerationSizeMb: 1000 };

/** Runs work on a thread of its own, which may have programs to end when it is stopped; one that dies is not started again. */
export async function onOneThread<Result>(worker: URL, input: unknown, job: ThreadCaller): Promise<Result> {
  throwIfStopped(job.signal);
  const thread = new Worker(worker, { workerData: input, resourceLimits: threadRoom });
  let stop = (): void => undefined;
  try {
    return await new Promise<Result>((resolve, reject) => {
      stop = () => thread.postMessage('stop');
      job.signal?.addEventListener('abort', stop, { once: true });
      answerOf<Result>(thread, job).then(resolve, reject);
    });
  } finally {
    job.signal?.removeEventListener('abort', stop);
    await thread.terminate();
  }
}

/** What a thread answers to the work that it has, and what it tells until then. */
export async function answerOf<Result>(thread: Worker, job: ThreadCaller): Promise<Result> {
  const listeners = new AbortController();
  const hear = (name: 'message' | 'error' | 'exit', what: (of: never) => void): void => {
    thread.on(name, what as () => void);
    listeners.signal.addEventListener('abort', () => thread.off(name, what as () => void));
  };
  try {
    return await new Promise<Result>((resolve, reject) => {
      hear('message', (message: Message) => {
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
      hear('error', (error: Error) => reject(new Died(error)));
      hear('exit', (code: number) => reject(new Died(new Error(`A thread ended with status ${code}.`))));
    });
  } finally {
    listeners.abort();
  }
}

/** The other end of `onOneThread`: does the work with the input it was given and answers. */
export async function answerOnThread<Input>(
  work: (input: Input, job: ThreadJob) => Promise<unknown>,
): Promise<void> {
  const port = portOf();
  const stop = new AbortController();
  port.on('message', (message: unknown) => {
    if (message === 'stop') stop.abort();
  });
  await answer(work, workerData as Input, stop.signal, () => undefined);
  port.close();
}

export function portOf(): MessagePort {
  if (!parentPort) throw new Error('This file runs as a worker thread only.');
  return parentPort;
}

/** Does one piece of work and answers. @param beforeTelling called before progress is told; what it throws ends the work */
export async function answer<Input>(
  work: (input: Input, job: ThreadJob) => Promise<unknown>,
  input: Input,
  signal: AbortSignal,
  beforeTelling: () => void,
): Promise<void> {
  const post = (message: Message): void => portOf().postMessage(message);
  try {
    const result = await work(input, {
      signal,
      onProgress: (share) => {
        beforeTelling();
        post({ type: 'progress', share });
      },
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
}
