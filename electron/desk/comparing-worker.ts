import { drawOnThread, type ComparisonInput } from './compare-on-thread.ts';
import { compareFollowed, drawFollowed } from './pair.ts';
import { answerOnThread } from '../threads.ts';

await answerOnThread<ComparisonInput>(async ({ question, followed, which }, job) =>
  which
    ? drawFollowed(question, followed, which)
    : compareFollowed(question, followed, job, (others) =>
        drawOnThread({ question, followed, which: others }, job.signal),
      ),
);
