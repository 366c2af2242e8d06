import { answerOnKeptThread } from '../kept-threads.ts';
import { loadKernelsOnce } from '../tracing/load-kernels.ts';
import { drawOnThread, type ComparisonInput } from './compare-on-thread.ts';
import { compareFollowed, drawFollowed } from './pair.ts';

loadKernelsOnce();
answerOnKeptThread<ComparisonInput>(async ({ question, followed, which }, job) =>
  which
    ? drawFollowed(question, followed, which, job)
    : compareFollowed(question, followed, job, (others) =>
        drawOnThread({ question, followed, which: others }, job.signal),
      ),
);
