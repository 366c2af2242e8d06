import type { Lift } from '../../shared-lib/contract/lift.ts';
import type { MeasureName } from '../../shared-lib/contract/measures.ts';
import type { Measure } from '../../shared-lib/contract/rep.ts';
import { Failure } from '../../shared-lib/contract/errors.ts';
import type { ReviewSide } from '../../shared-lib/contract/review.ts';
import { repPath, type RepPath } from '../../shared-lib/pair/line-up.ts';
import type { Desk } from '../desk/handlers.ts';
import { parts } from '../desk/jobs.ts';
import { measuresOnThread } from '../desk/rep-on-thread.ts';
import type { FollowedClip } from '../desk/calibrated-clip.ts';
import { repsOfClip } from '../desk/clip-reps.ts';
import type { Job } from '../desk/follow-clip.ts';

export interface MeasuredRep {
  measures: Record<MeasureName, Measure | null>;
  path: RepPath;
}

/** What says which rep is meant and how its clip is read. */
export type RepOfClip = Pick<ReviewSide, 'clip' | 'options' | 'rep' | 'events'> & { lift: Lift };

/** A rep's measures and path, worked out once and kept. */
export async function measuredRep(
  desk: Desk,
  { clip, options, rep, lift, events }: RepOfClip,
  follow: (side: RepOfClip, job: Job) => Promise<FollowedClip>,
  job: Job,
): Promise<MeasuredRep> {
  const from = { sha256: clip.sha256, options, rep: rep ?? 1, lift, events };
  return desk.results.of('measured-rep', from, job, async (shared) => {
    const work = parts(shared, { following: 0.8, measuring: 0.2 });
    const followed = await follow({ clip, options, rep, lift, events }, work.following);
    const clipReps = repsOfClip(followed, lift, events);
    const index = (rep ?? 1) - 1;
    if (!clipReps.reps[index]) {
      throw new Failure('usage', `${clip.name} holds no rep ${index + 1}.`, 'Choose a rep that is there.');
    }
    const measures = await measuresOnThread({ followed, lift, events, index }, work.measuring);
    return { measures, path: repPath(clipReps.smoothed.motion, clipReps.reps[index].events, 'start')! };
  });
}
