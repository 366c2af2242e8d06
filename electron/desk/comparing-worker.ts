import { answerOnKeptThread } from '../kept-threads.ts';
import { loadKernels } from '../tracing/load-kernels.ts';
import { drawOnThread, type ComparisonInput } from './compare-on-thread.ts';
import { compareFollowed, drawFollowed } from './pair.ts';

// Draws run as compiled code; there are no pictures here.
loadKernels(0, 0);
answerOnKeptThread<ComparisonInput>(async ({ question, followed, which }, job) =>
  which
    ? drawFollowed(question, followed, which, job)
    : compareFollowed(question, followed, job, (others) =>
        drawOnThread({ question, followed, which: others }, job.signal),
      ),
);
