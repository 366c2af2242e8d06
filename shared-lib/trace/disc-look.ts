import type { Rim } from '../contract/trace.ts';
import type { GreyImage } from '../picture/grey-image.ts';
import { outermostMultiple } from '../picture/mean-rim.ts';
import { addToPolarMean, emptyPolarMean, type PolarMean } from '../picture/polar-mean.ts';
import { keepView, noViews, viewsOf, type DiscView, type DiscViews } from './disc-views.ts';
import type { FollowStep } from './follow-disc.ts';

/** What one disc looks like all along, gathered while it is followed, whichever way the clip is gone through. */
export interface DiscLook {
  /** The rim that it was found by. */
  rim: Rim;
  mean: PolarMean;
  views: DiscViews;
}

/** Pictures between two that are looked at, and how surely the disc must be seen in them. */
const lookEvery = 3;
const lookConfidence = 0.6;

export const emptyLook = (rim: Rim): DiscLook => ({ rim, mean: emptyPolarMean(rim.aPx), views: noViews() });

/** Takes in a picture that the disc was just followed into; `frame` counts from the clip's first. */
export function addToLook(
  look: DiscLook,
  image: GreyImage,
  { state, measurement }: FollowStep,
  frame: number,
): void {
  if (frame % lookEvery !== 0 || measurement.confidence <= lookConfidence) return;
  const { xPx, yPx } = measurement;
  const ring = { ...state.rim, xPx, yPx };
  addToPolarMean(look.mean, image, xPx, yPx, ring.aPx / look.rim.aPx);
  keepView(look.views, image, ring, frame, Math.hypot(state.motion.vxPx, state.motion.vyPx));
}

/** The disc's rim as a multiple of the ring that was followed. */
export const rimMultiple = ({ mean, rim }: DiscLook): number => outermostMultiple(mean, rim);

/** The disc cut out of pictures along its path, in time order. */
export const lookedViews = ({ views }: DiscLook): DiscView[] => viewsOf(views);
