import { isSameRep, type MarkedRep } from '../../shared-lib/contract/lifter.ts';
import { Failure } from '../../shared-lib/contract/errors.ts';
import { sideNames, type Review, type SideName } from '../../shared-lib/contract/review.ts';
import type { CueNow, Weeks } from '../../shared-lib/contract/weeks.ts';
import { cueMeasures } from '../../shared-lib/cue/words.ts';
import { aboutOf, overWeeks, type MeasuredReview } from '../../shared-lib/cue/over-weeks.ts';
import { spreadOf } from '../../shared-lib/band/spread.ts';
import type { UsualReps } from '../../shared-lib/contract/band.ts';
import { measuredRep, repMeasures, type MeasuredRep, type RepOfClip } from '../lifters/measured-rep.ts';
import { sortMarked, stateOf, usualMeasures, usualReps, usualView } from '../lifters/usual.ts';
import type { FollowedClip } from './calibrated-clip.ts';
import { repsOfClip } from './clip-reps.ts';
import type { Job } from './follow-clip.ts';
import { parts } from './jobs.ts';
import { throwIfStopped } from '../media/process.ts';
import { exportLifter, importLifter } from '../lifters/lifter-zip.ts';
import { lifterBelongings, removeLifter } from '../lifters/remove-lifter.ts';
import { nothingWished, wishedView, type OneRep } from './wished-view.ts';
import { waysOnThread } from './rep-on-thread.ts';
import type { WishedView } from '../../shared-lib/contract/wished.ts';
import type { Desk } from './handlers.ts';
import type { Handlers } from './switchboard.ts';

type CoachingCommand =
  | 'listLifters'
  | 'startLifter'
  | 'openLifter'
  | 'keepLifter'
  | 'lifterBelongings'
  | 'removeLifter'
  | 'markUsual'
  | 'usual'
  | 'wished'
  | 'earlierCues'
  | 'overWeeks'
  | 'cueLibrary'
  | 'exportLifter'
  | 'importLifter';

/** How a clip is followed, which the other handlers know. */
export interface Measuring {
  follow: (side: RepOfClip, job: Job) => Promise<FollowedClip>;
}

/** The commands about lifters, what is usual for them, and cues. */
export function coachingHandlers(desk: Desk, measuring: Measuring): Pick<Handlers, CoachingCommand> {
  const measure = (rep: RepOfClip, job: Job): Promise<MeasuredRep> =>
    measuredRep(desk, rep, measuring.follow, job);
  return {
    listLifters: () => listLifters(desk),
    startLifter: ({ name }) => desk.lifters.start(name, desk.now()),
    openLifter: ({ id }) => desk.lifters.open(id),
    keepLifter: async ({ lifter }) => {
      const revision = await desk.lifters.keep(lifter);
      return { revision: revision ?? lifter.revision, stale: revision === null };
    },
    lifterBelongings: ({ id }) => lifterBelongings(desk, id),
    removeLifter: async ({ id }) => {
      await removeLifter(desk, id);
      return {};
    },
    markUsual: async ({ id, side, reps, usual }) => {
      const review = await desk.reviews.open(id);
      const marks = marksOf(review, side, reps);
      return desk.lifters.change(lifterIdOf(review), (lifter) => ({
        ...lifter,
        usualReps: [
          ...lifter.usualReps.filter((kept) => !marks.some((mark) => isSameRep(mark, kept))),
          ...(usual ? marks : []),
        ],
      }));
    },
    usual: async ({ id }, job) => {
      const review = await desk.reviews.open(id);
      const work = parts(job, { usual: 0.8, today: 0.2 });
      const { sorted, measured } = await usualOf(desk, review, measuring.follow, work.usual);
      const side = review.today;
      const today = side && (await measure({ ...side, lift: review.lift }, work.today));
      return usualView(review, sorted, measured, today);
    },
    wished: async ({ id }, job) => wishedOf(desk, await desk.reviews.open(id), measuring.follow, job),
    earlierCues: async ({ id }, job) => earlierCuesOf(desk, await desk.reviews.open(id), measuring, job),
    overWeeks: ({ id, lift }, job) => weeksOf(desk, id, { lift }, measuring.follow, job),
    cueLibrary: async ({ lift }) => libraryOf(await desk.reviews.readable(), lift),
    exportLifter: ({ id, withClips }, job) => exportLifter(desk, id, withClips, job),
    importLifter: ({ path }, job) => importLifter(desk, path, job),
  };
}

/** Cues of the lifter's earlier reviews that were open until this one, held against it. */
export async function earlierCuesOf(
  desk: Desk,
  review: Review,
  { follow }: Measuring,
  job: Job,
): Promise<CueNow[]> {
  if (review.lifterId === null) return [];
  const { weeks } = await weeksOf(desk, review.lifterId, review, follow, job);
  return weeks.at(-1)?.earlierCues ?? [];
}

/** Today's rep against the review's wished path. */
async function wishedOf(
  desk: Desk,
  review: Review,
  follow: Measuring['follow'],
  job: Job,
): Promise<WishedView> {
  const { lift, today } = review;
  const path = review.coaching.wishedPath;
  if (!path || !today) return nothingWished;
  const work = parts(job, { reference: 1, today: 1 });
  const reps: Record<SideName, OneRep | null> = { reference: null, today: null };
  for (const name of sideNames) {
    const side = review[name];
    if (!side) continue;
    const clip = repsOfClip(await follow({ ...side, lift }, work[name]), lift, side.events);
    reps[name] = { clip, index: Math.min((side.rep ?? 1) - 1, clip.reps.length - 1) };
  }
  const from = {
    sha256: today.clip.sha256,
    options: today.options,
    rep: today.rep,
    lift,
    events: today.events,
  };
  const { clip, index } = reps.today!;
  // Bending the path asks again and again: what the rep may have been stays the same.
  const ways = await desk.results.of('drawn-ways', from, job, (shared) =>
    waysOnThread(clip.measured, index, shared),
  );
  return wishedView(path, lift, reps, ways);
}

/** The lifter's marked reps, sorted and the comparable ones measured. */
async function usualOf(desk: Desk, review: Review, follow: Measuring['follow'], job: Job) {
  const lifter = review.lifterId === null ? null : await desk.lifters.open(review.lifterId);
  const sorted = sortMarked(lifter?.usualReps ?? [], review);
  const work = share(job, sorted.comparable.length);
  const measured = await inTurn(sorted.comparable, (rep, i) => measuredRep(desk, rep, follow, work(i)));
  return { sorted, measured };
}

/** The usual reps that a review's comparison takes; undefined where there are none. */
export async function usualForCompare(
  desk: Desk,
  review: Review,
  follow: Measuring['follow'],
  job: Job,
): Promise<UsualReps | undefined> {
  const { sorted, measured } = await usualOf(desk, review, follow, job);
  return measured.length > 0 ? usualReps(review, sorted.comparable, measured) : undefined;
}

async function listLifters(desk: Desk) {
  const [all, reviews] = await Promise.all([desk.lifters.all(), desk.reviews.readable()]);
  return all
    .map((entry) => {
      const count = reviews.filter(({ lifterId }) => lifterId === entry.id).length;
      if (!('document' in entry)) {
        const { id, trouble, at } = entry;
        const madeAt = at.toISOString();
        return {
          id,
          name: id,
          bodyKg: null,
          madeAt,
          federation: '',
          notes: '',
          usualReps: 0,
          reviews: count,
          trouble,
        };
      }
      const { id, name, bodyKg, madeAt, federation, notes, usualReps } = entry.document;
      return {
        id,
        name,
        bodyKg,
        madeAt,
        federation,
        notes,
        usualReps: usualReps.length,
        reviews: count,
        trouble: null,
      };
    })
    .sort((a, b) => a.name.localeCompare(b.name));
}

function lifterIdOf(review: Review): string {
  if (review.lifterId !== null) return review.lifterId;
  throw new Failure('usage', 'This review belongs to no lifter yet.', 'Choose the lifter first.');
}

/** Reps of a side as marks. A side that says no day was filmed on the review's. */
function marksOf(review: Review, name: 'reference' | 'today', reps: readonly number[]): MarkedRep[] {
  const side = review[name];
  if (!side) throw new Failure('usage', 'There is no clip on that side yet.', 'Bring one in first.');
  const { clip, options, loadKg, circumstances, events } = side;
  const day = circumstances.day ?? review.madeAt.slice(0, 10);
  return reps.map((rep) => ({ lift: review.lift, clip, options, rep, day, loadKg, circumstances, events }));
}

/** A lifter's reviews of one lift up to one of them, measured one after the other. */
async function weeksOf(
  desk: Desk,
  lifterId: string,
  upTo: Pick<Review, 'lift'> & Partial<Review>,
  follow: Measuring['follow'],
  job: Job,
): Promise<Weeks> {
  const reviews = (await desk.reviews.readable()).filter(
    ({ lifterId: whose, lift, madeAt }) =>
      whose === lifterId && lift === upTo.lift && (!upTo.madeAt || madeAt <= upTo.madeAt),
  );
  const lifter = await desk.lifters.open(lifterId);
  const newest = reviews.at(-1);
  const comparable = newest ? sortMarked(lifter.usualReps, newest).comparable : [];
  const work = share(job, reviews.length + comparable.length);
  const measured = await inTurn(reviews, (review, i) => measuredReview(desk, review, follow, work(i)));
  const marked = await inTurn(comparable, (rep, i) =>
    repMeasures(desk, rep, follow, work(reviews.length + i)),
  );
  if (!newest) return { weeks: [], usual: [], usualState: '' };
  const usual = usualReps(
    newest,
    comparable,
    marked.map((measures) => ({ measures })),
  );
  const bands = usualMeasures(cueMeasures(newest.lift), usual, measured.at(-1)!.measures);
  return {
    weeks: overWeeks(measured, (name) => spreadOf(name, usual, 1)?.halfWidth ?? null),
    usual: bands.map(({ name, lo95, hi95 }) => ({ name, lo95, hi95 })),
    usualState: stateOf(usual),
  };
}

async function measuredReview(
  desk: Desk,
  review: Review,
  follow: Measuring['follow'],
  job: Job,
): Promise<MeasuredReview> {
  if (!review.today) return { review, measures: null, trouble: 'It has no clip of today’s rep.' };
  try {
    const measures = await repMeasures(desk, { ...review.today, lift: review.lift }, follow, job);
    return { review, measures, trouble: null };
  } catch (error) {
    throwIfStopped(job.signal);
    if (!(error instanceof Failure)) throw error;
    return { review, measures: null, trouble: error.what };
  }
}

/** Cues by their words, the most used first. */
function libraryOf(reviews: readonly Review[], lift: Review['lift']) {
  const found = new Map<string, { text: string; about: string; times: number }>();
  for (const review of reviews.filter((each) => each.lift === lift)) {
    for (const { text, aim } of review.coaching.cues) {
      const key = text.trim().toLowerCase();
      if (!key) continue;
      const times = (found.get(key)?.times ?? 0) + 1;
      found.set(key, { text, about: aboutOf(aim, review), times });
    }
  }
  return [...found.values()].sort((a, b) => b.times - a.times);
}

/** Jobs for `n` equal parts of one, to be done in turn. */
function share(job: Job, n: number): (i: number) => Job {
  const names = Array.from({ length: Math.max(1, n) }, (_, i) => String(i));
  const work = parts(job, Object.fromEntries(names.map((name) => [name, 1])));
  return (i) => work[String(i)];
}

async function inTurn<T, R>(list: readonly T[], each: (item: T, i: number) => Promise<R>): Promise<R[]> {
  const out: R[] = [];
  for (const [i, item] of list.entries()) out.push(await each(item, i));
  return out;
}
