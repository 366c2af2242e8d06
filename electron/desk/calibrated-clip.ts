import { discSaid } from '../../shared-lib/camera/disc-size.ts';
import { toBarPlane } from '../../shared-lib/camera/rectify.ts';
import {
  discFromSleeveEnd,
  sleeveEndFactor,
  withFactor,
  type SleeveEndFactor,
} from '../../shared-lib/camera/sleeve-end.ts';
import { withStatedRim } from '../../shared-lib/camera/stated-rim.ts';
import type { Calibration, MediaInfo, Timing } from '../../shared-lib/contract/clip.ts';
import { Failure } from '../../shared-lib/contract/errors.ts';
import type { PlaneTrace } from '../../shared-lib/contract/motion.ts';
import type { ClipOptions, StatedRim } from '../../shared-lib/contract/review.ts';
import type { Trace } from '../../shared-lib/contract/trace.ts';
import { summariseTiming } from '../../shared-lib/motion/timing.ts';
import { pinned } from '../../shared-lib/trace/corrections.ts';
import type { TrackedClip } from '../tracing/track-clip.ts';

/** A clip's pictures read, and what was said of it not yet taken into account. */
export interface TrackedFile extends TrackedClip {
  media: MediaInfo;
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

/** Capture this much faster than playback, or more, is slow motion and no rounding of a frame rate. */
const leastSlowMotion = 1.5;

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

export function checkInside(media: MediaInfo, { seed, plumb }: Pick<ClipOptions, 'seed' | 'plumb'>): void {
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

/** @throws Failure where no rim was drawn */
export function ruler(rim: StatedRim | null): StatedRim {
  if (rim) return rim;
  throw new Failure(
    'usage',
    'The sleeve’s end alone tells neither how large things are nor where the disc is.',
    'Draw the disc’s rim in a picture that shows it.',
  );
}
