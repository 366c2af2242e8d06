import { z } from 'zod';
import { Failure } from '../../shared-lib/contract/errors.ts';
import { proposalSchema } from '../../shared-lib/contract/pose-proposal.ts';
import {
  nothingSaid,
  sideNames,
  type Review,
  type ReviewSide,
  type SideName,
} from '../../shared-lib/contract/review.ts';
import type { MediaTools } from '../media/find-ffmpeg.ts';
import type { StillShelf } from '../media/still-shelf.ts';
import type { ClipShelf } from '../reviews/clip-shelf.ts';
import type { Results } from '../reviews/results.ts';
import { sameVariant } from '../../shared-lib/cue/comparable.ts';
import type { LifterFolder } from '../lifters/lifter-folder.ts';
import type { ReviewFolder } from '../reviews/review-folder.ts';
import type { Parts } from '../about/parts.ts';
import type { Log } from '../log/log.ts';
import { aboutHandlers } from './about-program.ts';
import { withPlace } from '../../shared-lib/body/place-change.ts';
import { bodiesOf, bodyChangesOf } from './bodies.ts';
import type { AskedFirst } from './asked-first.ts';
import type { ClipQueue, ClipWork } from './clip-queue.ts';
import { coachingHandlers, usualForCompare } from './coaching.ts';
import { followedOf, lookAt, stillsOf } from './clip-reading.ts';
import type { FollowedClip } from './calibrated-clip.ts';
import { repsOfClip, speedDoubtOf } from './clip-reps.ts';
import type { Job } from './follow-clip.ts';
import { parts } from './jobs.ts';
import { handBackHandlers } from './hand-back.ts';
import { compareOnThread } from './compare-on-thread.ts';
import type { ChosenRep, ComparedPair, PairQuestion } from './compare-followed.ts';
import { uprightFor } from '../../shared-lib/camera/plumb.ts';
import { measuredSideOf } from './measured-side.ts';
import { findingsOf, notAlone } from './look-over.ts';
import { lineUpOf, trackOf } from './shown.ts';
import type { Handlers } from './switchboard.ts';

/** What the handlers work with. */
export interface Desk {
  reviews: ReviewFolder;
  lifters: LifterFolder;
  clips: ClipShelf;
  results: Results;
  stills: StillShelf;
  queue: ClipQueue;
  /** What somebody waits for, before what the queue does. */
  askedFirst: AskedFirst;
  log: Log;
  /** What the program is made of. */
  parts: Parts;
  tools: () => MediaTools;
  now: () => Date;
}

const proposedKind = 'joints';
/** What cannot be read is looked for again. */
const proposedSchema = z.array(proposalSchema).nullable().catch(null);

export function handlersOf(desk: Desk): Handlers {
  return {
    listReviews: () => desk.reviews.list(),
    startReview: () => desk.reviews.start(desk.now()),
    openReview: ({ id }) => desk.reviews.open(id),
    reviewHistory: async ({ id }) =>
      (await desk.reviews.history(id)).map(({ revision, savedAt }) => ({
        revision,
        savedAt: savedAt.toISOString(),
      })),
    takeBackReview: ({ id, revision }) => desk.reviews.takeBack(id, revision),
    keepReview: async ({ review }) => {
      const revision = await desk.reviews.keep(review);
      return { revision: revision ?? review.revision, stale: revision === null };
    },
    removeReview: async ({ id }) => {
      await desk.reviews.remove(id);
      return {};
    },
    bringBackReview: async ({ id }) => {
      await desk.reviews.bringBack(id);
      return {};
    },
    bringInFile: ({ path: file }) => desk.clips.addFile(file),
    knownSide: async ({ sha256 }) => ({ side: knownSide(await desk.reviews.readable(), sha256) }),
    lookAtClip: ({ sha256 }, job) => lookAt(desk, sha256, job),
    prepareStills: async ({ sha256, widthPx, frames }) => {
      (await stillsOf(desk, sha256, widthPx)).prepare(frames);
      return {};
    },
    followSide: async ({ id, side }, job) => {
      const review = await desk.reviews.open(id);
      const followed = await followedOf(desk, sideOf(review, side), {
        ...job,
        onTraced: (points) => job.onTraced?.(points, side),
      });
      const { trace, media, timing, calibration } = followed;
      const proposedPlumb = uprightFor(trace, calibration.rollRad);
      const speedDoubt = speedDoubtOf(followed, review.lift);
      return {
        media,
        timing,
        track: trackOf(followed),
        rim: trace.rim,
        calibration,
        proposedPlumb,
        speedDoubt,
      };
    },
    measureSide: async ({ id, side: name }, job) => {
      const review = await desk.reviews.open(id);
      const side = sideOf(review, name);
      return measuredSideOf(repsOfClip(await followedOf(desk, side, job), review.lift, side.events));
    },
    compare: async ({ id }, job) => lineUpOf(await comparedOf(desk, await desk.reviews.open(id), job)),
    ...coachingHandlers(desk, {
      follow: (side, job) => followedOf(desk, side, job),
    }),
    bodies: async ({ id }, job) =>
      bodiesOf(desk, await desk.reviews.open(id), (side, each) => followedOf(desk, side, each), job),
    // Joints are looked for in the window, where the model runs.
    proposals: async (sight) => proposedSchema.parse(await desk.results.kept(proposedKind, sight)),
    keepProposals: async ({ sight, proposals }) => {
      await desk.results.keep(proposedKind, sight, proposals);
      return {};
    },
    ...aboutHandlers(desk),
    queueClips: ({ clips, lift }) => desk.queue.add(clips, lift),
    queue: () => desk.queue.list(),
    leaveQueue: ({ sha256 }) => desk.queue.remove(sha256),
    ...handBackHandlers(desk, {
      compare: (review, job) => comparedOf(desk, review, job),
      follow: (side, job) => followedOf(desk, side, job),
    }),
  };
}

/** What was said last of a clip, the newest review first. */
function knownSide(oldestFirst: readonly Review[], sha256: string): ReviewSide | null {
  const sides = oldestFirst.flatMap((review) => sideNames.flatMap((name) => review[name] ?? []));
  return sides.findLast(({ clip }) => clip.sha256 === sha256) ?? null;
}

function sideOf(review: Review, name: SideName): ReviewSide {
  const side = review[name];
  if (side) return side;
  const word = name === 'today' ? 'today’s rep' : 'the reference rep';
  throw new Failure('usage', `There is no clip of ${word} yet.`, 'Bring one in first.');
}

/** What the queue does to each clip: reads, follows and checks it, nothing said of it by a person. */
export const lookOver =
  (desk: Omit<Desk, 'queue'>): ClipWork =>
  async ({ clip, lift }, job, onStage) => {
    const work = parts(job, { reading: 0.1, following: 0.9 });
    try {
      await lookAt(desk, clip.sha256, work.reading);
      work.reading.onProgress(1);
      // The picture of a clip that was just brought in, and whatever else a coach waits for.
      await desk.askedFirst.whenRested(job.signal);
      onStage('following');
      const side = { clip, options: nothingSaid };
      return findingsOf(repsOfClip(await followedOf(desk, side, work.following), lift));
    } catch (error) {
      throw error instanceof Failure ? notAlone(error) : error;
    }
  };

async function comparedOf(desk: Desk, review: Review, job: Job): Promise<ComparedPair> {
  const work = parts(job, { reference: 0.35, today: 0.35, usual: 0.1, comparing: 0.15, bodies: 0.05 });
  const sides = { reference: sideOf(review, 'reference'), today: sideOf(review, 'today') };
  const [reference, today] = await Promise.all(
    sideNames.map((name) =>
      followedOf(desk, sides[name], {
        ...work[name],
        onTraced: (points) => job.onTraced?.(points, name),
      }),
    ),
  );
  const usual = await usualForCompare(desk, review, (side, each) => followedOf(desk, side, each), work.usual);
  const followed = { reference, today };
  const question: PairQuestion = {
    lift: review.lift,
    sameCamera: review.sameCamera,
    reference: askedOf(sides.reference),
    today: askedOf(sides.today),
    sameVariant: sameVariant(sides.reference.circumstances, sides.today.circumstances),
    ...(usual ? { usual } : {}),
  };
  const clips = sideNames.map((name) => [sides[name].clip.sha256, sides[name].options]);
  const compared = await desk.results.of('compared', { question, clips }, work.comparing, (each) =>
    compareOnThread(question, followed, each),
  );
  work.comparing.onProgress(1);
  // Marks on the body change nothing of the bar: what was compared is kept without them.
  const { place, sentences } = await bodyChangesOf(
    desk,
    review,
    (side, each) => followedOf(desk, side, each),
    work.bodies,
  );
  const { chosen, pairFile } = compared;
  return {
    pairFile: withPlace(pairFile, place),
    body: sentences,
    chosen: {
      reference: whereItIs(chosen.reference, reference),
      today: whereItIs(chosen.today, today),
    },
  };
}

const askedOf = ({ rep, loadKg, events }: ReviewSide): PairQuestion[SideName] => ({ rep, loadKg, events });

/** A kept rep with its clip as it lies on disk now. */
const whereItIs = <Rep extends ChosenRep>(rep: Rep, followed: FollowedClip): Rep => ({
  ...rep,
  clip: { ...rep.clip, followed },
});
