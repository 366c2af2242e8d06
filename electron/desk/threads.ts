import { parentPort, Worker, workerData } from 'node:worker_threads';
import { Failure, type FailureKind } from '../../shared-lib/contract/errors.ts';
import { stopped, throwIfStopped } from '../media/process.ts';
import type { Job } from './follow-clip.ts';

type Message =
  | { type: 'progress'; share: number }
  | { type: 'done'; result: unknown }
  | { type: 'failed'; kind: FailureKind; what: string; advice: string }
  | { type: 'broken'; message: string; stack: string };

/** Runs pure work on a thread of its own, so that nothing else waits; a stop ends the thread where it is. */
export async function onThread<Result>(worker: URL, input: unknown, job: Job): Promise<Result> {
  throwIfStopped(job.signal);
  const thread = new Worker(worker, { workerData: input });
  let stop = (): void => undefined;
  try {
    return await new Promise<Result>((resolve, reject) => {
      stop = () => reject(stopped());
      job.signal.addEventListener('abort', stop, { once: true });
      thread.on('message', (message: Message) => {
        if (message.type === 'progress') job.onProgress(message.share);
        else if (message.type === 'done') resolve(message.result as Result);
        else if (message.type === 'failed') reject(new Failure(message.kind, message.what, message.advice));
        else reject(Object.assign(new Error(message.message), { stack: message.stack }));
      });
      thread.on('error', reject);
      thread.on('exit', (code) => reject(new Error(`A thread ended with status ${code}.`)));
    });
  } finally {
    job.signal.removeEventListener('abort', stop);
    await thread.terminate();
  }
}

/** The other end of `onThread`: does the work with the input it was given and answers. */
export async function answerOnThread<Input>(
  work: (input: Input, job: Job) => Promise<unknown>,
): Promise<void> {
  if (!parentPort) throw new Error('This file runs as a worker thread only.');
  const port = parentPort;
  const post = (message: Message): void => port.postMessage(message);
  try {
    const result = await work(workerData as Input, {
      signal: new AbortController().signal,
      onProgress: (share) => post({ type: 'progress', share }),
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
