import type { Lift } from '../../shared-lib/contract/lift.ts';
import type { SetEvent } from '../../shared-lib/contract/review.ts';
import { measureWithUncertainty } from '../../shared-lib/pair/uncertainty.ts';
import { drawnWays, type DrawnWays } from '../../shared-lib/wished-path/drawn-ways.ts';
import { onThread } from '../threads.ts';
import type { FollowedClip } from './calibrated-clip.ts';
import { repsOfClip } from './clip-reps.ts';
import type { Job } from './follow-clip.ts';

/** What a measuring thread is given: one rep of a followed clip, from 0, and what is wanted of it. */
export interface RepInput {
  followed: FollowedClip;
  lift: Lift;
  events: readonly SetEvent[];
  index: number;
  wanted: 'measures' | 'ways';
}

type Measures = ReturnType<typeof measureWithUncertainty>;

/** The thread's file beside this one, as built in dist. */
const thread = new URL('./rep-worker.js', import.meta.url);

/** A rep's measures with their intervals, drawn where nothing waits for it. */
export const measuresOnThread = (input: Omit<RepInput, 'wanted'>, job: Job): Promise<Measures> =>
  onThread(thread, { ...input, wanted: 'measures' } satisfies RepInput, job, 'at once');

/** A rep's ways as they may have been, likewise. */
export const waysOnThread = (input: Omit<RepInput, 'wanted'>, job: Job): Promise<DrawnWays> =>
  onThread(thread, { ...input, wanted: 'ways' } satisfies RepInput, job, 'at once');

/** What the thread does. */
export function drawRep({ followed, lift, events, index, wanted }: RepInput): Measures | DrawnWays {
  const { measured } = repsOfClip(followed, lift, events);
  return wanted === 'ways' ? drawnWays(measured, index) : measureWithUncertainty(measured, index);
}
