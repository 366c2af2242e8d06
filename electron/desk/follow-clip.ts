import path from 'node:path';
import { cameraNotes } from '../../shared-lib/camera/camera-notes.ts';
import { checkClip } from '../../shared-lib/camera/clip-check.ts';
import { discSaid } from '../../shared-lib/camera/disc-size.ts';
import { toBarPlane } from '../../shared-lib/camera/rectify.ts';
import {
  discFromSleeveEnd,
  sleeveEndFactor,
  withFactor,
  type SleeveEndFactor,
} from '../../shared-lib/camera/sleeve-end.ts';
import { withStatedRim } from '../../shared-lib/camera/stated-rim.ts';
import type { Calibration, ClipFile, MediaInfo, Timing } from '../../shared-lib/contract/clip.ts';
import { Failure } from '../../shared-lib/contract/errors.ts';
import type { Lift } from '../../shared-lib/contract/lift.ts';
import type { TracedPoints } from '../../shared-lib/contract/desk.ts';
import type { ClipOptions, SetEvent, SideName, StatedRim } from '../../shared-lib/contract/review.ts';
import type { PlaneTrace } from '../../shared-lib/contract/motion.ts';
import type { Trace } from '../../shared-lib/contract/trace.ts';
import { smoothTrace, type SmoothedTrace } from '../../shared-lib/motion/smoother.ts';
import { smoothingByEvidence } from '../../shared-lib/motion/smoothing-by-evidence.ts';
import { pinned } from '../../shared-lib/trace/corrections.ts';
import { summariseTiming } from '../../shared-lib/motion/timing.ts';
import type { MeasuredClip } from '../../shared-lib/pair/measured-clip.ts';
import { findReps, type Rep } from '../../shared-lib/rep/find-reps.ts';
import { eventsByHand, withEventsByHand, type EventsByHand } from '../../shared-lib/rep/set-events.ts';
import { discQuestion } from '../../shared-lib/trace/disc-question.ts';
import type { MediaTools } from '../media/find-ffmpeg.ts';
import { probeClip } from '../media/probe.ts';
import type { TrackedClip } from '../tracing/track-clip.ts';
import { followAgainInWorker, trackInWorker, trackSleeveEndInWorker } from '../tracing/track-in-worker.ts';

/** How a long job is stopped and how it tells its progress. */
export interface Job {
  signal: AbortSignal;
  /** Share of the job done, 0 to 1. */
  onProgress: (share: number) => void;
  /** Told what has been followed so far, and of which side, where somebody looks on. */
  onTraced?: (points: TracedPoints, side?: SideName) => void;
}

export interface ClipRequest {
  file: string;
  options: ClipOptions;
}

/** A clip after its pictures: the bar in pixels and in the bar plane. */
export interface FollowedClip {
  file: string;
  media: MediaInfo;
  timing: Timing;
  trace: Trace;
  plane: PlaneTrace;
  calibration: Calibration;
}

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

/** Capture this much faster than playback, or more, is slow motion and no rounding of a frame rate. */
const leastSlowMotion = 1.5;

/** A clip's pictures read, and what was said of it not yet taken into account. */
export interface TrackedFile extends TrackedClip {
  media: MediaInfo;
}

/** @param track how pictures become a trace; on a thread of its own unless said otherwise */
export async function followClip(
  request: ClipRequest,
  tools: MediaTools,
  job: Job,
  track: typeof trackInWorker = trackInWorker,
): Promise<FollowedClip> {
  const { file, options } = request;
  const tracked = await trackFile(file, options, tools, job, track);
  return calibrated(file, await corrected(file, tracked, options, tools, job), options);
}

/** Reads a clip's pictures. What comes out is decided by `followedBy` alone. */
export async function trackFile(
  file: string,
  options: Pick<ClipOptions, 'seed' | 'plumb' | 'rim' | 'sleeveEnd'>,
  tools: MediaTools,
  job: Job,
  track: typeof trackInWorker = trackInWorker,
): Promise<TrackedFile> {
  const media = await probeClip(file, tools, job.signal);
  checkInside(media, options);
  const { seed, rim, sleeveEnd } = options;
  const request = { file, ffmpeg: tools.ffmpeg, media };
  if (!sleeveEnd) return { media, ...(await track({ ...request, seed }, job)) };
  return { media, ...(await trackSleeveEndInWorker({ ...request, sleeveEnd, rim: ruler(rim) }, job)) };
}

function ruler(rim: StatedRim | null): StatedRim {
  if (rim) return rim;
  throw new Failure(
    'usage',
    'The sleeve’s end alone tells neither how large things are nor where the disc is.',
    'Draw the disc’s rim in a picture that shows it.',
  );
}

/** Follows again from the points that a hand fixed. */
export async function corrected(
  file: string,
  tracked: TrackedFile,
  { fixed: points, sleeveEnd }: Pick<ClipOptions, 'fixed' | 'sleeveEnd'>,
  tools: MediaTools,
  job: Job,
): Promise<TrackedFile> {
  // Where the sleeve's end is followed the disc itself cannot be.
  if (points.length === 0 || sleeveEnd) return tracked;
  const { media, trace } = tracked;
  const again = await followAgainInWorker({ file, ffmpeg: tools.ffmpeg, media, trace, points }, job);
  return { ...tracked, trace: again };
}

/** Pixels to metres, by what is said of the clip. */
export function calibrated(file: string, tracked: TrackedFile, options: ClipOptions): FollowedClip {
  const { media } = tracked;
  const { plumb } = options;
  checkInside(media, options);
  const size = discSaid(options);
  const { trace, factor } = withStatements(tracked.trace, options, media, size.discM);
  const ptsS = trace.samples.map((sample) => sample.ptsS);
  const timing = summariseTiming(ptsS, media.declaredFrames, trace.repeated?.length ?? 0);
  const { plane, calibration } = toBarPlane(trace, {
    ...size,
    ...(plumb ? { plumb } : {}),
    picture: media,
    facing: options.facing ?? 'right',
    ...slowMotionOf(media, timing, options.slowMotion),
    seed: tracked.seed,
  });
  const scaled = factor ? withFactor(calibration, factor) : calibration;
  return { file, media, timing, trace, plane, calibration: scaled };
}

/** Of traces in use, what was worked out of each last: while an event is dragged nothing about its clip changes. */
const calibratedLast = new WeakMap<Trace, { said: string; followed: FollowedClip }>();

/** `calibrated`, and the very same clip again for as long as nothing else is said of it. */
export function calibratedOnce(file: string, tracked: TrackedFile, options: ClipOptions): FollowedClip {
  const said = JSON.stringify([file, options]);
  const last = calibratedLast.get(tracked.trace);
  if (last?.said === said) return last.followed;
  const followed = calibrated(file, tracked, options);
  calibratedLast.set(tracked.trace, { said, followed });
  return followed;
}

/** The trace with what a person drew into it. */
function withStatements(
  trace: Trace,
  { rim, sleeveEnd, fixed }: ClipOptions,
  media: MediaInfo,
  discM: number,
): { trace: Trace; factor?: SleeveEndFactor } {
  if (!sleeveEnd) return { trace: rim ? withStatedRim(trace, rim, media) : trace };
  const drawn = ruler(rim);
  const factor = sleeveEndFactor(sleeveEnd, drawn, media, discM);
  return { trace: pinned(discFromSleeveEnd(trace, drawn, factor), fixed), factor };
}

function checkInside(media: MediaInfo, { seed, plumb }: Pick<ClipOptions, 'seed' | 'plumb'>): void {
  const inside = (x: number, y: number): boolean => x <= media.widthPx && y <= media.heightPx;
  const wrong =
    seed && !inside(seed.xPx, seed.yPx)
      ? 'seed'
      : seed && seed.ptsS > media.durationS + 1
        ? 'seed'
        : plumb && !(inside(plumb[0], plumb[1]) && inside(plumb[2], plumb[3]))
          ? 'plumb line'
          : null;
  if (!wrong) return;
  throw new Failure(
    'usage',
    `The ${wrong} lies outside ${media.file}.`,
    `The picture is ${media.widthPx} x ${media.heightPx} pixels as displayed, the clip ${media.durationS.toFixed(1)} s long.`,
  );
}

function slowMotionOf(
  media: MediaInfo,
  timing: Timing,
  user: number | null,
): Pick<Calibration, 'slowMotion' | 'slowMotionSource'> {
  if (user !== null) return { slowMotion: user, slowMotionSource: 'user' };
  const tagged = media.captureFps === null ? 1 : media.captureFps * timing.medianIntervalS;
  return tagged >= leastSlowMotion
    ? { slowMotion: tagged, slowMotionSource: 'tag' }
    : { slowMotion: 1, slowMotionSource: 'none' };
}

type SmoothedClip = Pick<RepsOfClip, 'smoothed'> & Pick<MeasuredClip, 'smoothing'>;
/** Of clips in use: an event that is moved changes nothing about how its clip is smoothed. */
const smoothedClips = new WeakMap<FollowedClip, SmoothedClip>();

function smoothedOf(followed: FollowedClip): SmoothedClip {
  const known = smoothedClips.get(followed);
  if (known) return known;
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
  });
  const measured: MeasuredClip = { lift, plane, smoothing, calibration, timing, picture: media, reps, check };
  const clipFile: ClipFile = {
    schema: 1,
    // Files are sent to the lifter: where the clip lies on the coach's machine is nobody's business.
    media: { ...media, file: path.basename(media.file) },
    timing,
    calibration,
    check,
    smoothing: { method: smoothingMethod, cutoffHz: smoothing.cutoffHz },
    notes: notesOf(followed),
  };
  return { followed, smoothed, reps, measured, clipFile };
}

/** A rep whose events a person moved, as far as they still follow one another; where they were found is kept. */
function withHand(rep: Rep, byHand: EventsByHand): RepByHand {
  if (Object.keys(byHand).length === 0) return rep;
  const events = withEventsByHand(rep.events, byHand);
  return events ? { ...rep, events, byHand, foundEvents: rep.events } : rep;
}

export const smoothingMethod =
  'state-space smoother without lag, as strong at each moment as the clip’s own evidence says';

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

function notesOf({ timing, calibration, media, trace }: FollowedClip): string[] {
  const notes: string[] = [];
  if (timing.partial) {
    notes.push(
      `The file is cut short or damaged: ${timing.decodedFrames} of ${media.declaredFrames ?? 'more'} frames could be read.`,
    );
  }
  if (calibration.slowMotionSource === 'tag') {
    notes.push(
      `Taken as slow motion, ${calibration.slowMotion.toFixed(1)} times slower than life, as the phone says in the file; every velocity depends on it.`,
    );
  }
  const question = discQuestion(calibration.seed);
  if (question) notes.push(`${question.said} ${question.advice}`);
  return [...notes, ...cameraNotes(trace, calibration)];
}

function noRep(followed: FollowedClip, lift: Lift): Failure {
  const { samples } = followed.trace;
  const lost = samples.filter((sample) => sample.state === 'lost').length / samples.length;
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
