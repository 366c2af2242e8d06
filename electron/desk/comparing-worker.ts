import type { ComparisonInput } from './compare-on-thread.ts';
import { compareFollowed } from './pair.ts';
import { answerOnThread } from '../threads.ts';

await answerOnThread<ComparisonInput>(({ question, followed }, job) =>
  compareFollowed(question, followed, job),
);
