/* Dies at its work the first so many times, then answers: what a thread is to the program whose memory was taken. */
import { appendFileSync, readFileSync } from 'node:fs';
import { setTimeout } from 'node:timers';
import { parentPort } from 'node:worker_threads';

parentPort.on('message', ({ input }) => {
  if (!input) return;
  const { marks, deaths, how } = input;
  appendFileSync(marks, 'x');
  parentPort.postMessage({ type: 'progress', share: 0.4 });
  if (readFileSync(marks, 'utf8').length > deaths)
    parentPort.postMessage({ type: 'done', result: 'the answer' });
  else if (how === 'exits') process.exit(3);
  else
    setTimeout(() => {
      throw new Error('from nowhere');
    });
});
