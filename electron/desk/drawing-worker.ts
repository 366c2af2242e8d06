import { answerOnKeptThread } from '../kept-threads.ts';
import { loadKernelsOnce } from '../tracing/load-kernels.ts';
import { compareFollowed, drawFollowed } from './compare-followed.ts';
import { drawOnThread, type ComparisonInput } from './compare-on-thread.ts';
import { drawReps, type RepInput } from './rep-on-thread.ts';

loadKernelsOnce();
answerOnKeptThread<ComparisonInput | RepInput>((input, job): Promise<unknown> => {
  if ('measured' in input) return Promise.resolve(drawReps(input, job.onProgress));
  const { question, followed, which } = input;
  return which
    ? Promise.resolve(drawFollowed(question, followed, which, job))
    : compareFollowed(question, followed, job, (others) =>
        drawOnThread({ question, followed, which: others }, job.signal),
      );
});
