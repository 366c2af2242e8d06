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

/** How a thread stays, and how it is stopped. */
export interface Keeping {
  /** A thread that nobody needed for this long ends, milliseconds. */
  keptMs: number;
  /** `at once`, for pure work; or `when asked`, once what it had begun elsewhere has ended: programs, and files that they read. */
  stopping: 'at once' | 'when asked';
}

const usualKeeping: Keeping = { keptMs: 120_000, stopping: 'at once' };

interface Work {
  input: unknown;
  /** Not 0 once the work is to stop: work that never waits hears no message. */
  stop: Int32Array<SharedArrayBuffer>;
}

/** Threads that wait for work, by their file, each with what ends it when none comes. */
const idle = new Map<string, Map<Worker, NodeJS.Timeout>>();

/**
 * Runs work on a thread that stays for the next piece of the same kind, so that nothing else waits: neither starting nor loading nor
 * code that has not run yet is waited for again. A thread that is stopped leaves its work when it next tells its progress. One that
 * dies, as when the system takes its memory, or whose ffmpeg is ended by somebody else, is started again once, and the work with
 * it; whatever else fails at once.
 */
export const onKeptThread = <Result>(
  worker: URL,
  input: unknown,
  job: ThreadCaller,
  keeping: Keeping = usualKeeping,
): Promise<Result> => twiceOnThread(worker, job, () => onIdleThread<Result>(worker, input, job, keeping));

async function onIdleThread<Result>(
  worker: URL,
  input: unknown,
  job: ThreadCaller,
  { keptMs, stopping }: Keeping,
): Promise<Result> {
  const { signal } = job;
  throwIfStopped(signal);
  const thread = takeThread(worker);
  const stop = new Int32Array(new SharedArrayBuffer(4));
  const answered = answerOf<Result>(thread, {
    onProgress: (share) => {
      if (!signal?.aborted) job.onProgress?.(share);
    },
    onTraced: (points) => {
      if (!signal?.aborted) job.onTraced?.(points);
    },
  });
  thread.postMessage({ input, stop } satisfies Work);
  void answered.then(
    () => rest(worker, thread, keptMs),
    (error: unknown) => {
      if (error instanceof Died) void thread.terminate();
      else rest(worker, thread, keptMs);
    },
  );
  let leave = (): void => undefined;
  try {
    return await new Promise<Result>((resolve, reject) => {
      leave = () => {
        Atomics.store(stop, 0, 1);
        thread.postMessage('stop');
        if (stopping === 'at once') reject(stopped());
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
function rest(worker: URL, thread: Worker, keptMs: number): void {
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

/** Starts a thread before there is work for it, where none waits: what its code takes to load is not waited for then. */
export function startAhead(worker: URL): void {
  if (!idle.get(worker.href)?.size) rest(worker, takeThread(worker), usualKeeping.keptMs);
}

/** Ends threads of a kind that wait for work: where none will come what they hold is missed elsewhere. */
export function endIdle(worker: URL): void {
  for (const [thread, end] of idle.get(worker.href) ?? []) {
    clearTimeout(end);
    void thread.terminate();
  }
  idle.delete(worker.href);
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
