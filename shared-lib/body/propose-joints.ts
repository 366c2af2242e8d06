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
const arms: readonly Joint[] = ['elbow', 'wrist'];

/** What holds the bar, and how far from it in the picture at most, metres: a body seen elsewhere is not the lifter's. */
const holding: Record<Lift, { joint: Joint; mostM: number }> = {
  squat: { joint: 'shoulder', mostM: 0.35 },
  bench: { joint: 'wrist', mostM: 0.35 },
  deadlift: { joint: 'wrist', mostM: 0.35 },
};
/** A joint is proposed when so many crops agree to show it. */
const leastCrops = 4;
/** What the spread over crops is multiplied by, and what is off in all crops alike, one sigma, metres. */
const spreadShare = 2;
/**
 * Set so that twice the doubt held 95 % of the joints proposed on 33 rendered lifts, each joint by itself; on 11 others 94 %, all joints together. Of hands the disc
 * hides the end, and feet come out too high, as if half the farther one.
 */
const grainM: Partial<Record<Joint, number>> = {
  shoulder: 0.03,
  elbow: 0.03,
  wrist: 0.065,
  hip: 0.02,
  knee: 0.025,
  ankle: 0.075,
  heel: 0.07,
  toe: 0.08,
};

type Pixel = readonly [xPx: number, yPx: number];

/**
 * The near side's joints from what the model saw in several crops of one picture: medians, and the doubt that their spread
 * shows. The model's own score is left aside, since it is sure of joints that are plainly wrong; so is which leg and arm it
 * takes for the nearer: the nearer foot is lower in the picture, the nearer hand closer to the disc. Crops in which the
 * body does not hold the bar are left out.
 */
export function proposeJoints(
  lift: Lift,
  view: PoseView,
  crops: readonly Crop[],
  seen: readonly Landmarks[],
): Proposal[] {
  const bodies = seen.flatMap((landmarks, k) =>
    landmarks ? [nearSide(placesIn(crops[k], landmarks), view)] : [],
  );
  const own = bodies.filter((at) => holdsBar(at, lift, view));
  return modelJoints.flatMap((joint) => {
    if (!jointsOf[lift].includes(joint) || own.length < leastCrops) return [];
    const { xPx, yPx, spreadPx } = middleOf(own.map((at) => at(joint)));
    const doubtPx = Math.hypot(spreadShare * spreadPx, grainM[joint]! * view.pxPerM);
    return [{ joint, xPx, yPx, spreadPx: doubtPx }];
  });
}

type Side = 'left' | 'right';
type At = (joint: Joint, side: Side) => Pixel;
type NearAt = (joint: Joint) => Pixel;

const other = (side: Side): Side => (side === 'left' ? 'right' : 'left');

const placesIn =
  (crop: Crop, landmarks: NonNullable<Landmarks>): At =>
  (joint, side) => {
    const [u, v] = landmarks[indices[joint]![crop.isMirrored ? other(side) : side]];
    return fromCrop(crop, u, v);
  };

function nearSide(at: At, view: PoseView): NearAt {
  const far = other(view.near);
  const leg = at('ankle', far)[1] > at('ankle', view.near)[1] ? far : view.near;
  const arm = fromBarM(at('wrist', far), view) < fromBarM(at('wrist', view.near), view) ? far : view.near;
  return (joint) => at(joint, legs.includes(joint) ? leg : arms.includes(joint) ? arm : view.near);
}

const fromBarM = ([x, y]: Pixel, { barXPx, barYPx, pxPerM }: PoseView): number =>
  Math.hypot(x - barXPx, y - barYPx) / pxPerM;

function holdsBar(at: NearAt, lift: Lift, view: PoseView): boolean {
  const { joint, mostM } = holding[lift];
  return fromBarM(at(joint), view) <= mostM;
}

/** 1.4826 makes the median deviation of normal noise one sigma. */
const asSigma = 1.4826;

function middleOf(all: readonly Pixel[]): Omit<Proposal, 'joint'> {
  const xPx = median(all, ([x]) => x)!;
  const yPx = median(all, ([, y]) => y)!;
  const off = (of: (p: Pixel) => number, from: number) =>
    asSigma * median(all, (p) => Math.abs(of(p) - from))!;
  const [across, down] = [off(([x]) => x, xPx), off(([, y]) => y, yPx)];
  return { xPx, yPx, spreadPx: Math.hypot(across, down) };
}
