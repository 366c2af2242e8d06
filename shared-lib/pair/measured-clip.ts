import type { Calibration, ClipCheck, MediaInfo, Timing } from '../contract/clip.ts';
import type { Lift } from '../contract/lift.ts';
import type { PlaneTrace } from '../contract/motion.ts';
import type { RepEvents, RepWindow } from '../contract/rep.ts';
import type { EventsByHand } from '../rep/set-events.ts';
import type { Smoothing } from '../motion/smoothing.ts';

/** One clip as the comparison takes it: followed, turned into metres, its reps found. */
export interface MeasuredClip {
  lift: Lift;
  /** The bar as measured, in the bar plane. */
  plane: PlaneTrace;
  /** Decided on the whole of `plane`. */
  smoothing: Smoothing;
  calibration: Calibration;
  timing: Pick<Timing, 'medianIntervalS' | 'unevenness' | 'decodedFrames' | 'duplicatedFrames'>;
  /** The picture as displayed: row read-out runs along it. */
  picture: Pick<MediaInfo, 'widthPx' | 'heightPx' | 'rotationDeg'>;
  /** In time order; a rep's index counts from 0. */
  reps: readonly { window: RepWindow; events: RepEvents; byHand?: EventsByHand }[];
  /** Absent where nobody checked the clip; then nothing is ruled out by it. */
  check?: ClipCheck;
}
