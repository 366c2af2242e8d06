import { median } from 'd3-array';
import { jointsOf, type Joint } from '../contract/body.ts';
import type { Lift } from '../contract/lift.ts';
import type { PoseView, Proposal } from '../contract/pose-proposal.ts';
import { fromCrop, type Crop } from './pose-view.ts';

/** The model's landmarks in one crop, shares of its side; null where it saw nobody. */
export type Landmarks = readonly (readonly [u: number, v: number])[] | null;

/** Indices in the model's list of 33 landmarks, of the body's left and right side (the package's own declarations). */
const indices: Partial<Record<Joint, { left: number; right: number }>> = {
  shoulder: { left: 11, right: 12 },
  elbow: { left: 13, right: 14 },
  wrist: { left: 15, right: 16 },
  hip: { left: 23, right: 24 },
  knee: { left: 25, right: 26 },
  ankle: { left: 27, right: 28 },
  heel: { left: 29, right: 30 },
  toe: { left: 31, right: 32 },
};

/** A crease and the top of a knee are surfaces, which the model does not know. */
const modelJoints = Object.keys(indices) as Joint[];

const legs: readonly Joint[] = ['knee', 'ankle', 'heel', 'toe'];

/** What holds the bar, and how far from it in the picture at most, metres: a body seen elsewhere is not the lifter's. */
const holding: Record<Lift, { joint: Joint; mostM: number }> = {
  squat: { joint: 'shoulder', mostM: 0.3 },
  bench: { joint: 'wrist', mostM: 0.3 },
  deadlift: { joint: 'wrist', mostM: 0.3 },
};
/** The nearer foot is lower in the picture than the farther one, or it is not the foot, within this, metres. */
const raisedM = 0.04;
/** A joint is proposed when so many crops agree to show it. */
const leastCrops = 4;
/** The model's own grain, one sigma, metres (measured on rendered clips): no spread is trusted below. */
const grainM = 0.01;

type Pixel = readonly [xPx: number, yPx: number];

/**
 * The near side's joints from what the model saw in several crops of one picture: medians, and their spread as the doubt.
 * The model's own score is left aside, since it is sure of joints that are plainly wrong. Crops in which the body does not
 * hold the bar, and legs whose near foot hovers over the far one, are left out.
 */
export function proposeJoints(
  lift: Lift,
  view: PoseView,
  crops: readonly Crop[],
  seen: readonly Landmarks[],
): Proposal[] {
  const bodies = seen.flatMap((landmarks, k) => (landmarks ? [placesIn(crops[k], landmarks)] : []));
  const own = bodies.filter((at) => holdsBar(at, lift, view));
  const standing = own.filter((at) => standsOnNearFoot(at, view));
  return modelJoints.flatMap((joint) => {
    if (!jointsOf[lift].includes(joint)) return [];
    const all = (legs.includes(joint) ? standing : own).map((at) => at(joint, view.near));
    return all.length < leastCrops ? [] : [{ joint, ...middleOf(all, grainM * view.pxPerM) }];
  });
}

type At = (joint: Joint, side: 'left' | 'right') => Pixel;

const placesIn =
  (crop: Crop, landmarks: NonNullable<Landmarks>): At =>
  (joint, side) => {
    const [u, v] = landmarks[indices[joint]![side]];
    return fromCrop(crop, u, v);
  };

function holdsBar(at: At, lift: Lift, { near, barXPx, barYPx, pxPerM }: PoseView): boolean {
  const { joint, mostM } = holding[lift];
  const [x, y] = at(joint, near);
  return Math.hypot(x - barXPx, y - barYPx) <= mostM * pxPerM;
}

function standsOnNearFoot(at: At, { near, pxPerM }: PoseView): boolean {
  const far = near === 'left' ? 'right' : 'left';
  return at('ankle', near)[1] >= at('ankle', far)[1] - raisedM * pxPerM;
}

/** 1.4826 makes the median deviation of normal noise one sigma. */
const asSigma = 1.4826;

function middleOf(all: readonly Pixel[], leastPx: number): Omit<Proposal, 'joint'> {
  const xPx = median(all, ([x]) => x)!;
  const yPx = median(all, ([, y]) => y)!;
  const off = (of: (p: Pixel) => number, from: number) =>
    asSigma * median(all, (p) => Math.abs(of(p) - from))!;
  return {
    xPx,
    yPx,
    spreadPx: Math.max(
      leastPx,
      Math.hypot(
        off(([x]) => x, xPx),
        off(([, y]) => y, yPx),
      ),
    ),
  };
}
