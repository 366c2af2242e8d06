import { bodyCameraOf, steadyPixel, type BodyCamera } from '../../shared-lib/body/body-camera.ts';
import { asEstimated, bodyPoints } from '../../shared-lib/body/body-draw.ts';
import type { BodyMoment } from '../../shared-lib/body/measure-body.ts';
import { poseViewOf } from '../../shared-lib/body/pose-view.ts';
import type { Bodies } from '../../shared-lib/contract/bodies.ts';
import { bodyEventsOf, type BodyEvent } from '../../shared-lib/contract/body.ts';
import type { MeasureKind } from '../../shared-lib/camera/clip-limits.ts';
import { notCarriedBy } from '../../shared-lib/rules/evidence.ts';
import type { Motion } from '../../shared-lib/contract/motion.ts';
import type { PoseView } from '../../shared-lib/contract/pose-proposal.ts';
import type { Review, ReviewSide } from '../../shared-lib/contract/review.ts';
import { nearestFrame } from '../../shared-lib/motion/frame-times.ts';
import { slowestPoint } from '../../shared-lib/rep/drive.ts';
import { repFrame } from '../../shared-lib/rep/rep-frame.ts';
import { atTime, samplesWithin, timeAt } from '../../shared-lib/rep/sampling.ts';
import type { Noise } from '../../shared-lib/rep/thresholds.ts';
import type { RepOfClip } from '../lifters/measured-rep.ts';
import { realTimes } from '../media/film-spec.ts';
import type { FollowedClip } from './calibrated-clip.ts';
import { repsOfClip } from './clip-reps.ts';
import type { Job } from './follow-clip.ts';

export type Follow = (side: RepOfClip, job: Job) => Promise<FollowedClip>;

/** One side's rep with what its bodies are measured by. */
export interface BodyRep {
  side: ReviewSide;
  followed: FollowedClip;
  rep: ReturnType<typeof repsOfClip>['reps'][number];
  motion: Motion;
  restNoise: Noise;
  tS: number[];
  camera: BodyCamera;
  moments: Bodies['moments']['today'];
  /** Kinds of measures that this clip cannot carry. */
  notCarried: MeasureKind[];
}

/** A mark counts at its event within this, seconds: another rep's marks do not. */
const sameMomentS = 0.3;

export async function bodyRep(
  review: Review,
  side: ReviewSide | null,
  follow: Follow,
  job: Job,
): Promise<BodyRep | null> {
  if (!side) return null;
  const followed = await follow({ ...side, lift: review.lift }, job);
  const { reps, smoothed, measured } = repsOfClip(followed, review.lift, side.events);
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
    notCarried: notCarriedBy(measured.check, smoothed.restNoise),
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
export function markedMoments({ side, followed, tS, camera, moments }: BodyRep): BodyMoment[] {
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

/** The disc's centre at the rep's start, a pixel of the first frame through a straight lens; null where it was lost. */
export function barAtStart({ followed, tS, camera, rep }: BodyRep): readonly [number, number] | null {
  const sample = followed.trace.samples[nearestFrame(tS, rep.events.startS)];
  return sample.state === 'lost' ? null : steadyPixel(camera, sample.camera, sample.xPx, sample.yPx);
}
