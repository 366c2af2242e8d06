/* Does what it is told, again and again, as the threads do that stay. */
import { setTimeout } from 'node:timers';
import { threadId } from 'node:worker_threads';
import { register } from 'tsx/esm/api';

register();
const { answerOnKeptThread } = await import('../../../electron/kept-threads.ts');
const { Failure } = await import('../../../shared-lib/contract/errors.ts');

let works = 0;
answerOnKeptThread(async (input, { signal, onProgress }) => {
  works += 1;
  if (input === 'fail') throw new Failure('noBar', 'There is no bar.', 'Film one.');
  if (input === 'exit') process.exit(3);
  if (input === 'wait')
    await new Promise((_, reject) => signal.addEventListener('abort', () => reject(new Error('left'))));
  // Has something to end first.
  if (input === 'tidy') {
    await new Promise((resolve) => signal.addEventListener('abort', () => setTimeout(resolve, 100)));
    throw new Failure('stopped', 'Stopped.', '');
  }
  // Never comes to an end by itself, and never waits.
  if (input === 'turn') for (;;) onProgress(0.5);
  return { threadId, works };
});
