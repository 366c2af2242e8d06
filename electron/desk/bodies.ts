import { bodyCameraOf, steadyPixel, type BodyCamera } from '../../shared-lib/body/body-camera.ts';
import { asEstimated, bodyPoints } from '../../shared-lib/body/body-draw.ts';
import { compareBodies } from '../../shared-lib/body/compare-bodies.ts';
import type { BodyMoment } from '../../shared-lib/body/measure-body.ts';
import { poseViewOf } from '../../shared-lib/body/pose-view.ts';
import { pointCourse } from '../../shared-lib/body/point-course.ts';
import { holdEndS, pointShifts } from '../../shared-lib/body/point-shifts.ts';
import type { Bodies } from '../../shared-lib/contract/bodies.ts';
import { bodyEventsOf, type BodyEvent } from '../../shared-lib/contract/body.ts';
import type { Motion } from '../../shared-lib/contract/motion.ts';
import type { PoseView } from '../../shared-lib/contract/pose-proposal.ts';
import type { PointMark, PointPath } from '../../shared-lib/contract/second-point.ts';
import { sideNames, type Review, type ReviewSide, type SideName } from '../../shared-lib/contract/review.ts';
import { nearestFrame } from '../../shared-lib/motion/frame-times.ts';
import { slowestPoint } from '../../shared-lib/rep/drive.ts';
import { repFrame } from '../../shared-lib/rep/rep-frame.ts';
import { atTime, samplesWithin, timeAt } from '../../shared-lib/rep/sampling.ts';
import type { Noise } from '../../shared-lib/rep/thresholds.ts';
import { authoritySentence, whatRefereesLookAt } from '../../shared-lib/rules/what-referees-look-at.ts';
import { measuredRep, type MeasuredRep, type RepOfClip } from '../lifters/measured-rep.ts';
import { realTimes } from '../media/film-spec.ts';
import { followPointInClip } from '../tracing/follow-point-in-clip.ts';
import { repsOfClip, type FollowedClip, type Job } from './follow-clip.ts';
import type { Desk } from './handlers.ts';
import { parts } from './jobs.ts';
import { whatLoadExplains } from './what-load-explains.ts';

type Follow = (side: RepOfClip, job: Job) => Promise<FollowedClip>;

/** One side's rep with what its bodies are measured by. */
interface BodyRep {
  side: ReviewSide;
  followed: FollowedClip;
  rep: ReturnType<typeof repsOfClip>['reps'][number];
  motion: Motion;
  restNoise: Noise;
  tS: number[];
  camera: BodyCamera;
  moments: Bodies['moments']['today'];
}

/** A mark counts at its event within this, seconds: another rep's marks do not. */
const sameMomentS = 0.3;

/** The bodies of a review's pair as marked, its second points followed, and what rules and load say. */
export async function bodiesOf(desk: Desk, review: Review, follow: Follow, job: Job): Promise<Bodies> {
  const work = parts(job, { reference: 0.5, today: 0.5 });
  const found = {} as Record<SideName, { rep: BodyRep | null; points: PointPath[] }>;
  for (const name of sideNames) {
    const rep = await bodyRep(review, review[name], follow, work[name]);
    const points: PointPath[] = [];
    for (const mark of rep?.side.points ?? []) {
      points.push(await followedPoint(desk, review, rep!, mark, work[name]));
    }
    found[name] = { rep, points };
  }
  const bodySide = ({ rep }: (typeof found)[SideName]) =>
    rep && { camera: rep.camera, moments: markedMoments(rep) };
  const changes = compareBodies(
    { reference: bodySide(found.reference), today: bodySide(found.today) },
    review.lift,
    review.sameCamera,
  );
  const measured = await measuredSides(desk, review, follow, job);
  const today = found.today.rep;
  const lifter = review.lifterId ? await desk.lifters.open(review.lifterId).catch(() => null) : null;
  return {
    moments: { reference: found.reference.rep?.moments ?? [], today: today?.moments ?? [] },
    changes,
    points: { reference: found.reference.points, today: found.today.points },
    rules: whatRefereesLookAt(review.lift, {
      measures: measured.today?.measures ?? {},
      outcome: today?.rep.events.outcome ?? { kind: 'completed' },
      earlierAttempts: today?.rep.events.earlierAttempts ?? 0,
      body: changes.flatMap((change) => (change.today ? [change.today] : [])),
      points: found.today.points.flatMap(({ joint, shifts }) =>
        shifts.map(({ sentence }) => ({ joint, sentence })),
      ),
    }),
    authority: authoritySentence(lifter?.federation ?? ''),
    load: await whatLoadExplains(desk, review, measured, lifter?.usualReps ?? [], follow, job),
  };
}

async function bodyRep(
  review: Review,
  side: ReviewSide | null,
  follow: Follow,
  job: Job,
): Promise<BodyRep | null> {
  if (!side) return null;
  const followed = await follow({ ...side, lift: review.lift }, job);
  const { reps, smoothed } = repsOfClip(followed, review.lift, side.events);
  const rep = reps[(side.rep ?? 1) - 1] ?? reps[0];
  const { trace, calibration, media } = followed;
  const body: BodyRep = {
    side,
    followed,
    rep,
    motion: smoothed.motion,
    restNoise: smoothed.restNoise,
    tS: realTimes({ samples: trace.samples, calibration }),
    camera: bodyCameraOf(trace, calibration, media),
    moments: [],
  };
  return { ...body, moments: momentsOf(body, review.lift) };
}

function momentsOf(body: BodyRep, lift: Review['lift']): BodyRep['moments'] {
  const { startS, touchS, bottomS, lockoutS } = body.rep.events;
  const times: Record<BodyEvent, number | null> = {
    start: startS,
    touch: touchS,
    bottom: bottomS,
    knee: kneePassedS(body, lift),
    slowest: slowestS(body, lift),
    lockout: lockoutS,
  };
  return bodyEventsOf[lift].flatMap((event) => {
    const tS = times[event];
    if (tS === null) return [];
    const frame = nearestFrame(body.tS, tS);
    return [{ event, tS, frame, view: viewAt(body, lift, frame) }];
  });
}

function slowestS({ motion, restNoise, rep }: BodyRep, lift: Review['lift']): number | null {
  const frame = repFrame(motion, rep.events, lift, restNoise);
  const slowest = frame.lockout === null ? null : slowestPoint(frame, frame.lockout);
  return slowest && timeAt(motion, slowest.at);
}

/** When the bar comes by the height of the knee as marked at the start; null without that mark. */
function kneePassedS(body: BodyRep, lift: Review['lift']): number | null {
  const start = markedMoments({ ...body, moments: startMoment(body) }).find(({ event }) => event === 'start');
  const knee = start?.marks.knee;
  if (lift !== 'deadlift' || !start || !knee) return null;
  const above = bodyPoints(body.camera, lift, asEstimated, start.bar, { knee }).knee![1];
  const { motion, rep } = body;
  const { driveStartS, lockoutS } = rep.events;
  if (lockoutS === null) return null;
  const [first, last] = samplesWithin(motion, atTime(motion, driveStartS), atTime(motion, lockoutS));
  for (let i = first; i < last; i++) {
    if (motion.yM[i] - motion.yM[first] >= above) return timeAt(motion, i);
  }
  return null;
}

const startMoment = ({ tS, rep }: BodyRep): BodyRep['moments'] => [
  { event: 'start', tS: rep.events.startS, frame: nearestFrame(tS, rep.events.startS), view: null },
];

/** Where the lifter is at a frame, from where the bar is then and was at the rep's start. */
function viewAt({ followed, tS, rep }: BodyRep, lift: Review['lift'], frame: number): PoseView | null {
  const { trace, calibration } = followed;
  const now = trace.samples[frame];
  const start = trace.samples[nearestFrame(tS, rep.events.startS)];
  if (now.state === 'lost' || start.state === 'lost') return null;
  const pxPerM = 1 / calibration.metresPerPx;
  return poseViewOf(lift, calibration.facing, [now.xPx, now.yPx], [start.xPx, start.yPx], pxPerM);
}

/** Marks by event, in pixels of the first frame; those of frames in which the bar was lost are left out. */
function markedMoments({ side, followed, tS, camera, moments }: BodyRep): BodyMoment[] {
  return moments.flatMap(({ event, tS: atS }) => {
    const own = side.body.filter((m) => m.event === event && Math.abs(tS[m.frame] - atS) < sameMomentS);
    const sample = own.length > 0 ? followed.trace.samples[own[0].frame] : undefined;
    if (!sample || sample.state === 'lost') return [];
    const steady = (xPx: number, yPx: number) => steadyPixel(camera, sample.camera, xPx, yPx);
    const marks: BodyMoment['marks'] = {};
    for (const { joint, xPx, yPx, spreadPx } of own) marks[joint] = [...steady(xPx, yPx), spreadPx ?? 0];
    return [{ event, bar: steady(sample.xPx, sample.yPx), marks }];
  });
}

async function followedPoint(
  desk: Desk,
  review: Review,
  { side, followed, rep, tS, camera }: BodyRep,
  mark: PointMark,
  job: Job,
): Promise<PointPath> {
  const { trace, media, calibration } = followed;
  const from = Math.min(mark.frame, nearestFrame(tS, rep.window.fromS));
  const to = Math.max(mark.frame, nearestFrame(tS, rep.window.toS));
  const key = { sha256: side.clip.sha256, mark, from, to };
  const places = await desk.results.of('point', key, job, (shared) =>
    followPointInClip(
      {
        file: followed.file,
        ffmpeg: desk.tools().ffmpeg,
        media,
        ptsS: trace.samples.map(({ ptsS }) => ptsS),
        mark,
        called: mark.joint,
        from,
        to,
        metresPerPx: calibration.metresPerPx,
      },
      shared,
    ),
  );
  const samples = trace.samples.slice(from, to + 1);
  const bar = samples.find(({ state }) => state !== 'lost');
  const steady = (i: number, xPx: number, yPx: number) => steadyPixel(camera, samples[i].camera, xPx, yPx);
  const course =
    bar &&
    pointCourse(
      camera,
      review.lift,
      mark.joint,
      steadyPixel(camera, bar.camera, bar.xPx, bar.yPx),
      tS.slice(from, to + 1),
      places.map(({ xPx, yPx }, i) => (Number.isFinite(xPx) ? steady(i, xPx, yPx) : null)),
    );
  const { lockoutS } = rep.events;
  const barTS = Array.from(followed.plane.tS);
  const endS = lockoutS === null ? rep.window.toS : holdEndS(barTS, Array.from(followed.plane.yM), lockoutS);
  const orNull = (v: number) => (Number.isFinite(v) ? v : null);
  return {
    joint: mark.joint,
    fromFrame: from,
    xPx: places.map(({ xPx }) => orNull(xPx)),
    yPx: places.map(({ yPx }) => orNull(yPx)),
    confidence: places.map(({ confidence }) => confidence),
    shifts: course ? pointShifts(course, rep.events, review.lift, mark.joint, endS) : [],
  };
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
