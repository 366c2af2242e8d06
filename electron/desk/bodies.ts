import { compareBodies, type ComparedBodies } from '../../shared-lib/body/compare-bodies.ts';
import { leavesS } from '../../shared-lib/body/point-shifts.ts';
import { hipsSentence, setUpSentences, startSentences } from '../../shared-lib/body/set-up.ts';
import { viewSentences } from '../../shared-lib/body/view-sentences.ts';
import type { BodyChange } from '../../shared-lib/contract/body.ts';
import type { Bodies } from '../../shared-lib/contract/bodies.ts';
import type { PointPath } from '../../shared-lib/contract/second-point.ts';
import { sideNames, type Review, type ReviewSide, type SideName } from '../../shared-lib/contract/review.ts';
import { authoritySentence, whatRefereesLookAt } from '../../shared-lib/rules/what-referees-look-at.ts';
import { atTime, valueAt } from '../../shared-lib/rep/sampling.ts';
import { measuredRep, type MeasuredRep } from '../lifters/measured-rep.ts';
import { barAtStart, bodyRep, markedMoments, type BodyRep, type Follow } from './body-rep.ts';
import type { Job } from './follow-clip.ts';
import { followedPoint } from './followed-point.ts';
import type { Desk } from './handlers.ts';
import { parts } from './jobs.ts';
import { whatLoadExplains } from './what-load-explains.ts';

type Both<T> = Record<SideName, T>;
interface FollowedBody {
  rep: BodyRep | null;
  points: PointPath[];
}

/** The bodies of a review's pair as marked, its second points followed, and what rules and load say. */
export async function bodiesOf(desk: Desk, review: Review, follow: Follow, job: Job): Promise<Bodies> {
  const found = await followedBodies(desk, review, follow, job);
  const { changes, place } = compared(review, found);
  const measured = await measuredSides(desk, review, follow, job);
  const today = found.today.rep;
  const lifter = review.lifterId ? await desk.lifters.open(review.lifterId).catch(() => null) : null;
  return {
    moments: { reference: found.reference.rep?.moments ?? [], today: today?.moments ?? [] },
    changes,
    place,
    views: sideNames.flatMap((name) => viewsOf(name, found[name].rep, changes, review.lift)),
    setUp: [
      ...setUpSentences(review.lift, {
        reference: measured.reference?.measures ?? null,
        today: measured.today?.measures ?? null,
      }),
      ...startSentences(changes),
      ...(review.lift === 'deadlift' ? sideNames.flatMap((name) => hipsOf(name, found[name])) : []),
    ],
    points: { reference: found.reference.points, today: found.today.points },
    rules: whatRefereesLookAt(review.lift, {
      measures: measured.today?.measures ?? {},
      outcome: today?.rep.events.outcome ?? { kind: 'completed' },
      earlierAttempts: today?.rep.events.earlierAttempts ?? 0,
      notCarried: today?.notCarried ?? [],
      body: changes.flatMap((change) => (change.today ? [change.today] : [])),
      points: found.today.points.flatMap(({ joint, shifts }) =>
        shifts.map(({ sentence }) => ({ joint, sentence })),
      ),
    }),
    authority: authoritySentence(lifter?.federation ?? ''),
    load: await whatLoadExplains(desk, review, measured, lifter?.usualReps ?? [], follow, job),
  };
}

/** What of the bodies goes with a pair: the place of the bar at the start, and a sentence for each thing that was marked. */
export async function bodyChangesOf(
  desk: Desk,
  review: Review,
  follow: Follow,
  job: Job,
): Promise<Pick<ComparedBodies, 'place'> & { sentences: string[] }> {
  const isMarked = sideNames.some((name) => review[name]?.body.length || review[name]?.points.length);
  if (!isMarked) return { place: null, sentences: [] };
  const found = await followedBodies(desk, review, follow, job);
  const { changes, place } = compared(review, found);
  const words = { reference: 'In the reference', today: 'Today' };
  return {
    place,
    sentences: [
      ...changes
        .filter(({ event, name }) => !(place && event === 'start' && name === 'place_m'))
        .map(({ sentence }) => sentence),
      ...sideNames.flatMap((name) =>
        found[name].points.flatMap(({ shifts }) =>
          shifts.map(({ sentence }) => `${words[name]}: ${sentence}`),
        ),
      ),
    ],
  };
}

async function followedBodies(
  desk: Desk,
  review: Review,
  follow: Follow,
  job: Job,
): Promise<Both<FollowedBody>> {
  const work = parts(job, { reference: 0.5, today: 0.5 });
  const found = {} as Both<FollowedBody>;
  for (const name of sideNames) {
    const rep = await bodyRep(review, review[name], follow, work[name]);
    const points: PointPath[] = [];
    for (const mark of rep?.side.points ?? []) {
      points.push(await followedPoint(desk, review, rep!, mark, work[name]));
    }
    found[name] = { rep, points };
  }
  return found;
}

function viewsOf(
  name: SideName,
  rep: BodyRep | null,
  changes: readonly BodyChange[],
  lift: Review['lift'],
): string[] {
  const bar = rep && barAtStart(rep);
  if (!bar) return [];
  const measures = changes.flatMap((change) => change[name] ?? []);
  return viewSentences(name === 'today' ? 'Today’s rep' : 'The reference', rep.camera, bar, measures, lift);
}

function hipsOf(name: SideName, { rep, points }: FollowedBody): string[] {
  if (!rep) return [];
  const { motion } = rep;
  const heightM = (tS: number) => valueAt(motion.yM, atTime(motion, tS));
  const { startS } = rep.rep.events;
  return hipsSentence(
    name === 'today' ? 'Today' : 'In the reference',
    points,
    heightM(startS + leavesS) - heightM(startS),
  );
}

function compared({ lift, sameCamera }: Review, { reference, today }: Both<FollowedBody>): ComparedBodies {
  const side = ({ rep }: FollowedBody) => rep && { camera: rep.camera, moments: markedMoments(rep) };
  return compareBodies({ reference: side(reference), today: side(today) }, lift, sameCamera);
}

async function measuredSides(
  desk: Desk,
  review: Review,
  follow: Follow,
  job: Job,
): Promise<Record<SideName, MeasuredRep | null>> {
  const of = async (side: ReviewSide | null) =>
    side && measuredRep(desk, { ...side, lift: review.lift }, follow, job);
  return { reference: await of(review.reference), today: await of(review.today) };
}
