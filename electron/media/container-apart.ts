import { Worker } from 'node:worker_threads';
import type { ContainerFacts } from './container-facts.ts';
import type { ContainerAnswer } from './container-worker.ts';
import { programLimits } from './limits.ts';
import { stopped, throwIfStopped } from './process.ts';

/** The worker's file beside this one: as source while developing, as built in dist. */
const workerFile = import.meta.url.endsWith('.ts')
  ? new URL('./container-worker.ts', import.meta.url)
  : new URL('./container-worker.js', import.meta.url);
/** A thread reads TypeScript only once tsx is at work in it. */
const readingSource = `import('tsx/esm/api').then((tsx) => (tsx.register(), import(${JSON.stringify(workerFile)})))`;
/** For a table of samples at the limit of frames; a file that makes it grow further ends the worker alone. */
const heapMb = 768;

interface Waiting {
  file: string;
  answer: (facts: ContainerFacts | null) => void;
}

let worker: Worker | null = null;
let waiting: Waiting[] = [];

/** Answers everybody who waits with "not understood", and begins anew with the next file. */
function giveUp(failed: Worker): void {
  if (worker !== failed) return;
  worker = null;
  const left = waiting;
  waiting = [];
  for (const { answer } of left) answer(null);
  void failed.terminate();
}

function start(): Worker {
  const resourceLimits = { maxOldGenerationSizeMb: heapMb };
  const started = workerFile.pathname.endsWith('.ts')
    ? new Worker(readingSource, { eval: true, resourceLimits })
    : new Worker(workerFile, { resourceLimits });
  started.on('message', ({ file, facts }: ContainerAnswer) => {
    const at = waiting.findIndex((each) => each.file === file);
    if (at >= 0) waiting.splice(at, 1)[0].answer(facts);
  });
  started.on('error', () => giveUp(started));
  started.on('exit', () => giveUp(started));
  // After the listeners, each of which would hold the program open.
  started.unref();
  return started;
}

/**
 * Reads a container on a thread of its own, so that a file that makes its reader run in circles or ask for ever more
 * memory stops nothing else. Null for every file that the reader does not understand in time.
 *
 * @throws Failure 'stopped'
 */
export async function readContainerApart(file: string, signal?: AbortSignal): Promise<ContainerFacts | null> {
  throwIfStopped(signal);
  const reader = (worker ??= start());
  let stop = (): void => undefined;
  // Held open only while somebody waits: an idle reader lets the program end.
  const timer = setTimeout(() => giveUp(reader), programLimits.quietMs);
  try {
    return await new Promise((resolve, reject) => {
      stop = () => reject(stopped());
      signal?.addEventListener('abort', stop, { once: true });
      waiting.push({ file, answer: resolve });
      reader.postMessage(file);
    });
  } finally {
    clearTimeout(timer);
    signal?.removeEventListener('abort', stop);
  }
}
