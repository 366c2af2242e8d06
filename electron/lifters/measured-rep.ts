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

export type RepMeasures = Record<MeasureName, Measure | null>;

export interface MeasuredRep {
  measures: RepMeasures;
  path: RepPath;
}

/** What says which rep is meant and how its clip is read. */
export type RepOfClip = Pick<ReviewSide, 'clip' | 'options' | 'rep' | 'events'> & { lift: Lift };

type Follow = (side: RepOfClip, job: Job) => Promise<FollowedClip>;

/** What a kept result is known by. */
export const measuredFrom = ({ clip, options, rep, lift, events }: RepOfClip) => ({
  sha256: clip.sha256,
  options,
  rep: rep ?? 1,
  lift,
  events,
});

/** Under which name a rep's measures are kept. */
export const measuresKind = 'measures';

/** A rep's measures, worked out once and kept. */
export async function repMeasures(
  desk: Desk,
  rep: RepOfClip,
  follow: Follow,
  job: Job,
): Promise<RepMeasures> {
  return desk.results.of(measuresKind, measuredFrom(rep), job, async (shared) => {
    const work = parts(shared, { following: 0.8, measuring: 0.2 });
    const followed = await follow(rep, work.following);
    const { of, index } = repOf(followed, rep);
    const [measures] = await measuresOnThread(of.measured, [index], work.measuring);
    return measures;
  });
}

function repOf(followed: FollowedClip, { clip, rep, lift, events }: RepOfClip) {
  const of = repsOfClip(followed, lift, events);
  const index = (rep ?? 1) - 1;
  if (of.reps[index]) return { of, index };
  throw new Failure('usage', `${clip.name} holds no rep ${index + 1}.`, 'Choose a rep that is there.');
}

/** A rep's measures and path, worked out once and kept. */
export async function measuredRep(
  desk: Desk,
  rep: RepOfClip,
  follow: Follow,
  job: Job,
): Promise<MeasuredRep> {
  return desk.results.of('measured-rep', measuredFrom(rep), job, async (shared) => {
    const work = parts(shared, { measuring: 0.9, following: 0.1 });
    const measures = await repMeasures(desk, rep, follow, work.measuring);
    const { of, index } = repOf(await follow(rep, work.following), rep);
    return { measures, path: repPath(of.smoothed.motion, of.reps[index].events, 'start')! };
  });
}
