import type { SideName } from '../../shared-lib/contract/review.ts';
import type { FollowedClip, Job } from './follow-clip.ts';
import type { ComparedPair, PairQuestion } from './pair.ts';
import { onThread } from '../threads.ts';

/** What the comparing thread is given. */
export interface ComparisonInput {
  question: PairQuestion;
  followed: Record<SideName, FollowedClip>;
}

/** The thread's file beside this one, as built in dist. */
const thread = new URL('./comparing-worker.js', import.meta.url);

/** `compareFollowed` on a thread of its own: drawing takes seconds and would hold everything else up. */
export const compareOnThread = (
  question: PairQuestion,
  followed: Record<SideName, FollowedClip>,
  job: Job,
): Promise<ComparedPair> =>
  onThread<ComparedPair>(thread, { question, followed } satisfies ComparisonInput, job, 'at once');
