import type { SideName } from '../../shared-lib/contract/review.ts';
import type { FollowedClip } from './calibrated-clip.ts';
import type { Job } from './follow-clip.ts';
import type { ComparedPair, PairQuestion } from './compare-followed.ts';
import type { Both, Quarter } from '../../shared-lib/pair/joint-draws.ts';
import type { DrawTable } from '../../shared-lib/pair/rep-model.ts';
import { onKeptThread } from '../kept-threads.ts';
import { drawingThread } from './drawing-thread.ts';

/** What a comparing thread is given. */
export interface ComparisonInput {
  question: PairQuestion;
  followed: Record<SideName, FollowedClip>;
  /** Only these draws are wanted; all of the comparison where left out. */
  which?: readonly Quarter[];
}

const onComparingThread = <Result>(input: ComparisonInput, job: Partial<Job>): Promise<Result> =>
  onKeptThread<Result>(drawingThread, input, job);

/**
 * `compareFollowed` on a thread of its own: drawing takes a second and more and would hold everything else up. That thread
 * has half of the draws drawn by another one, which ends with it.
 */
export const compareOnThread = (
  question: PairQuestion,
  followed: Record<SideName, FollowedClip>,
  job: Job,
): Promise<ComparedPair> => onComparingThread({ question, followed }, job);

/** Draws on a further thread. */
export const drawOnThread = (
  input: Required<ComparisonInput>,
  signal: AbortSignal,
): Promise<Both<DrawTable>> => onComparingThread(input, { signal });
