import { Worker } from 'node:worker_threads';
import { stopped, throwIfStopped } from './media/process.ts';
import {
  answer,
  answerOf,
  Died,
  portOf,
  threadRoom,
  twiceOnThread,
  type ThreadCaller,
  type ThreadJob,
} from './threads.ts';

/** A thread that nobody needed for this long ends, milliseconds. */
const keptMs = 120_000;

interface Work {
  input: unknown;
  /** Not 0 once the work is to stop: work that never waits hears no message. */
  stop: Int32Array<SharedArrayBuffer>;
}

/** Threads that wait for work, by their file, each with what ends it when none comes. */
const idle = new Map<string, Map<Worker, NodeJS.Timeout>>();

/**
 * Runs pure work on a thread that stays for the next piece of the same kind: neither starting nor loading nor code that has
 * not run yet is waited for again. A stop is answered at once; the thread leaves its work when it next tells its progress.
 */
export const onKeptThread = <Result>(worker: URL, input: unknown, job: ThreadCaller): Promise<Result> =>
  twiceOnThread(worker, job, () => onIdleThread<Result>(worker, input, job));

async function onIdleThread<Result>(worker: URL, input: unknown, job: ThreadCaller): Promise<Result> {
  const { signal } = job;
  throwIfStopped(signal);
  const thread = takeThread(worker);
  const stop = new Int32Array(new SharedArrayBuffer(4));
  const answered = answerOf<Result>(thread, {
    onProgress: (share) => {
      if (!signal?.aborted) job.onProgress?.(share);
    },
  });
  thread.postMessage({ input, stop } satisfies Work);
  void answered.then(
    () => rest(worker, thread),
    (error: unknown) => {
      if (error instanceof Died) void thread.terminate();
      else rest(worker, thread);
    },
  );
  let leave = (): void => undefined;
  try {
    return await new Promise<Result>((resolve, reject) => {
      leave = () => {
        Atomics.store(stop, 0, 1);
        thread.postMessage('stop');
        reject(stopped());
      };
      signal?.addEventListener('abort', leave, { once: true });
      answered.then(resolve, reject);
    });
  } finally {
    signal?.removeEventListener('abort', leave);
  }
}

function takeThread(worker: URL): Worker {
  const waiting = idle.get(worker.href);
  for (const [thread, end] of waiting ?? []) {
    clearTimeout(end);
    waiting!.delete(thread);
    thread.ref();
    return thread;
  }
  const thread = new Worker(worker, { resourceLimits: threadRoom });
  // One that dies while it waits is missed by nobody.
  thread.on('error', () => undefined);
  thread.on('exit', () => {
    clearTimeout(idle.get(worker.href)?.get(thread));
    idle.get(worker.href)?.delete(thread);
  });
  return thread;
}

/** Lets a thread wait for the next work, and the program end meanwhile. */
function rest(worker: URL, thread: Worker): void {
  const waiting = idle.get(worker.href) ?? new Map<Worker, NodeJS.Timeout>();
  idle.set(worker.href, waiting);
  thread.unref();
  waiting.set(
    thread,
    setTimeout(() => {
      waiting.delete(thread);
      void thread.terminate();
    }, keptMs).unref(),
  );
}

/** The other end of `onKeptThread`: does one piece of work after the other. */
export function answerOnKeptThread<Input>(work: (input: Input, job: ThreadJob) => Promise<unknown>): void {
  let now = new AbortController();
  portOf().on('message', (message: Work | 'stop') => {
    if (message === 'stop') return now.abort();
    const own = new AbortController();
    now = own;
    const heed = (): void => {
      if (Atomics.load(message.stop, 0) !== 0) throw stopped();
    };
    // What was begun elsewhere for this work ends with it.
    void answer(work, message.input as Input, own.signal, heed).finally(() => own.abort());
  });
}
