import path from 'node:path';
import { cameraNotes } from '../../shared-lib/camera/camera-notes.ts';
import { checkClip } from '../../shared-lib/camera/clip-check.ts';
import type { ClipFile } from '../../shared-lib/contract/clip.ts';
import { Failure } from '../../shared-lib/contract/errors.ts';
import type { Lift } from '../../shared-lib/contract/lift.ts';
import type { SetEvent } from '../../shared-lib/contract/review.ts';
import { smoothTrace, type SmoothedTrace } from '../../shared-lib/motion/smoother.ts';
import { smoothingByEvidence } from '../../shared-lib/motion/smoothing-by-evidence.ts';
import type { MeasuredClip } from '../../shared-lib/pair/measured-clip.ts';
import { findReps, type Rep } from '../../shared-lib/rep/find-reps.ts';
import { eventsByHand, withEventsByHand, type EventsByHand } from '../../shared-lib/rep/set-events.ts';
import { hiddenSpans } from '../../shared-lib/rep/hidden.ts';
import { driveMeasures } from '../../shared-lib/rep/drive.ts';
import { lengthsQuestion } from '../../shared-lib/rep/plausible-lengths.ts';
import { speedDoubt } from '../../shared-lib/rep/plausible-speed.ts';
import { repFrame } from '../../shared-lib/rep/rep-frame.ts';
import { discQuestion } from '../../shared-lib/trace/disc-question.ts';
import { loadKernelsOnce } from '../tracing/load-kernels.ts';
import type { FollowedClip } from './calibrated-clip.ts';
import { texts } from '../../shared-lib/texts/texts.ts';

/** A rep, and what a person moved in it. */
export interface RepByHand extends Rep {
  byHand?: EventsByHand;
  foundEvents?: Rep['events'];
}

/** A followed clip smoothed, its reps found and the clip checked. */
export interface RepsOfClip {
  followed: FollowedClip;
  /** Values only, so that it can pass between threads and be kept. */
  smoothed: Pick<SmoothedTrace, 'motion' | 'frame' | 'restNoise'>;
  reps: RepByHand[];
  measured: MeasuredClip;
  clipFile: ClipFile;
}

type SmoothedClip = Pick<RepsOfClip, 'smoothed'> & Pick<MeasuredClip, 'smoothing'>;
/** Of clips in use: an event that is moved changes nothing about how its clip is smoothed. */
const smoothedClips = new WeakMap<FollowedClip, SmoothedClip>();

function smoothedOf(followed: FollowedClip): SmoothedClip {
  const known = smoothedClips.get(followed);
  if (known) return known;
  loadKernelsOnce();
  const smoothing = smoothingByEvidence(followed.plane);
  const { motion, frame, restNoise } = smoothTrace(followed.plane, smoothing);
  const made = { smoothing, smoothed: { motion, frame, restNoise } };
  smoothedClips.set(followed, made);
  return made;
}

/**
 * @param byHand events that a person moved
 * @throws Failure 'noBar' where the clip holds no whole rep
 */
export function repsOfClip(followed: FollowedClip, lift: Lift, byHand: readonly SetEvent[] = []): RepsOfClip {
  const { media, timing, trace, plane, calibration } = followed;
  const { smoothing, smoothed } = smoothedOf(followed);
  const found = findReps(smoothed.motion, lift, smoothed.restNoise);
  const reps = found.map((rep, i) => withHand(rep, eventsByHand(byHand, i + 1, calibration.slowMotion)));
  if (reps.length === 0) throw noRep(followed, lift);
  const check = checkClip({
    trace,
    plane,
    calibration,
    timing,
    media,
    reps: reps.map((rep) => ({ fromS: rep.events.startS, toS: rep.events.lockoutS ?? rep.window.toS })),
    peakSpeedMps: peakSpeedOf(smoothed, reps),
    exposureS: trace.shutter ? trace.shutter.exposureS / calibration.slowMotion : null,
    improbable: lengthsQuestion(lift, bodilyOf(smoothed, reps, lift)),
  });
  const measured: MeasuredClip = { lift, plane, smoothing, calibration, timing, picture: media, reps, check };
  const clipFile: ClipFile = {
    schema: 1,
    // Files are sent to the lifter: where the clip lies on the coach's machine is nobody's business.
    media: { ...media, file: path.basename(media.file) },
    timing,
    calibration,
    check,
    smoothing: { method: texts.clip.smoothing, cutoffHz: smoothing.cutoffHz },
    notes: notesOf(followed, check, reps),
  };
  return { followed, smoothed, reps, measured, clipFile };
}

const bodilyOf = ({ motion, restNoise }: RepsOfClip['smoothed'], reps: readonly Rep[], lift: Lift) =>
  reps.map(({ events }) => driveMeasures(repFrame(motion, events, lift, restNoise)));

/** What speaks against the speed that a clip is taken to play at; also where it holds no whole rep. */
export function speedDoubtOf(followed: FollowedClip, lift: Lift): ReturnType<typeof speedDoubt> {
  const { smoothed } = smoothedOf(followed);
  return speedDoubt(
    smoothed.motion,
    bodilyOf(smoothed, findReps(smoothed.motion, lift, smoothed.restNoise), lift),
  );
}

/** A rep whose events a person moved, as far as they still follow one another; where they were found is kept. */
function withHand(rep: Rep, byHand: EventsByHand): RepByHand {
  if (Object.keys(byHand).length === 0) return rep;
  const events = withEventsByHand(rep.events, byHand);
  return events ? { ...rep, events, byHand, foundEvents: rep.events } : rep;
}

function peakSpeedOf({ motion }: Pick<SmoothedTrace, 'motion'>, reps: readonly Rep[]): number | null {
  let peak = 0;
  for (const { events, window } of reps) {
    const from = Math.max(0, Math.floor((events.startS - motion.t0S) / motion.dtS));
    const to = ((events.lockoutS ?? window.toS) - motion.t0S) / motion.dtS;
    for (let i = from; i <= to && i < motion.vyMps.length; i++) {
      const speed = Math.hypot(motion.vxMps[i], motion.vyMps[i]);
      if (speed > peak) peak = speed;
    }
  }
  return peak > 0 ? peak : null;
}

/** So many hidden stretches are told one by one; the share of the reps that is hidden is in the check. */
const mostHiddenTold = 3;

function notesOf(
  { timing, calibration, media, trace, plane }: FollowedClip,
  check: ClipFile['check'],
  reps: readonly Rep[],
): string[] {
  const notes: string[] = [];
  const { decodedFrames: read, partial } = timing;
  if (partial)
    notes.push(
      media.declaredFrames === null
        ? texts.clip.framesReadOfMore(read)
        : texts.clip.framesRead(read, media.declaredFrames),
    );
  if (calibration.slowMotionSource === 'tag')
    notes.push(texts.clip.slowMotionTag(calibration.slowMotion.toFixed(1)));
  if (trace.leftOut) {
    const time = (frame: number): string => trace.samples[frame].ptsS.toFixed(1);
    const stretches = trace.leftOut.map(({ from, to }) =>
      texts.clip.leftOutStretch(time(from), time(to - 1)),
    );
    notes.push(texts.clip.leftOut(stretches.join(', ')));
  }
  const hidden = hiddenSpans(plane).filter(({ fromS, toS }) =>
    reps.some(({ window }) => fromS < window.toS && toS > window.fromS),
  );
  for (const { fromS, toS } of hidden.slice(0, mostHiddenTold))
    notes.push(texts.clip.hiddenFrom(fromS.toFixed(2), toS.toFixed(2)));
  const question = discQuestion({ check, calibration });
  if (question) notes.push(texts.clip.both(question.said, question.advice));
  return [...notes, ...cameraNotes(trace, calibration)];
}

function noRep(followed: FollowedClip, lift: Lift): Failure {
  const { samples, leftOut = [] } = followed.trace;
  const unlooked = leftOut.reduce((sum, { from, to }) => sum + to - from, 0);
  const lost =
    (samples.filter((sample) => sample.state === 'lost').length - unlooked) / (samples.length - unlooked);
  const what =
    lost > 0.3
      ? `The bar was lost in ${Math.round(100 * lost)} % of ${followed.file}, too much to make a rep.`
      : followed.timing.partial
        ? `${followed.file} is cut short or damaged, and what is left holds no whole rep.`
        : `No whole ${lift === 'bench' ? 'bench press' : lift} was found in ${followed.file}.`;
  return new Failure(
    'noBar',
    what,
    'Film the whole lift, from standing still before it to standing still after it, or check --lift and --seed.',
  );
}
