import type { Facing, Lift } from '../contract/lift.ts';
import type { PoseView } from '../contract/pose-proposal.ts';

type Pixel = readonly [xPx: number, yPx: number];

/** Usual sizes of lifters in metres, drawn wide (common practice): the square only has to hold the body. */
const barToFloorM = { squat: 1.45, bench: 1.3, deadlift: 0.23 } as const;
const headOverBarM = 0.4;
const standingM = 1.9;
const lyingM = 2.2;
const marginM = 0.4;

/**
 * The square that holds the body at one event, from where the bar is.
 *
 * @param bar where the bar is now; `start` where it was at the rep's start
 */
export function poseViewOf(lift: Lift, facing: Facing, bar: Pixel, start: Pixel, pxPerM: number): PoseView {
  const forward = facing === 'right' ? 1 : -1;
  // Who faces right shows his right side, lying or standing.
  const known = { barXPx: bar[0], barYPx: bar[1], pxPerM, near: facing } as const;
  const floorPx = start[1] + barToFloorM[lift] * pxPerM;
  if (lift === 'bench') {
    return {
      ...known,
      xPx: start[0] + forward * 0.45 * pxPerM,
      yPx: start[1] + 0.55 * pxPerM,
      sidePx: lyingM * pxPerM,
      turnRad: (forward * Math.PI) / 2,
    };
  }
  const topPx =
    lift === 'squat'
      ? bar[1] - headOverBarM * pxPerM
      : Math.max(bar[1] - 1.15 * pxPerM, floorPx - standingM * pxPerM);
  return {
    ...known,
    xPx: bar[0] + (lift === 'squat' ? 0.05 : -0.1) * forward * pxPerM,
    yPx: (topPx + floorPx) / 2,
    sidePx: Math.max(floorPx - topPx, 1.2 * pxPerM) + marginM * pxPerM,
    turnRad: 0,
  };
}

/** A square cut out of a picture, turned about its middle and then mirrored left to right or not. */
export interface Crop {
  xPx: number;
  yPx: number;
  sidePx: number;
  turnRad: number;
  isMirrored: boolean;
}

/**
 * Shifts as shares of the side, growth of the side, the share of the view's turn that is made, and a further turn in
 * radians. Each is looked at as it is and mirrored, since a model is used to one side more than to the other; who lies is
 * looked at half-way up too.
 */
const shifts = [
  [0, 0, 1.12, 1, 0],
  [0.04, -0.03, 1.15, 0.55, 0.05],
  [-0.04, 0.03, 1.24, 1, -0.05],
  [0, 0.03, 1, 0.55, 0],
] as const;

/** The crops that a view is looked at in: a joint that is seen well stays where it is in all of them. */
export function cropsOf({ xPx, yPx, sidePx, turnRad }: PoseView): Crop[] {
  return shifts.flatMap(([right, down, grown, share, turned]) =>
    [false, true].map((isMirrored) => ({
      xPx: xPx + right * sidePx,
      yPx: yPx + down * sidePx,
      sidePx: grown * sidePx,
      turnRad: share * turnRad + turned,
      isMirrored,
    })),
  );
}

/** A place in a crop, shares of its side from its top left, as a pixel of the picture. */
export function fromCrop({ xPx, yPx, sidePx, turnRad, isMirrored }: Crop, u: number, v: number): Pixel {
  const [dx, dy] = [(isMirrored ? 0.5 - u : u - 0.5) * sidePx, (v - 0.5) * sidePx];
  const [cos, sin] = [Math.cos(turnRad), Math.sin(turnRad)];
  return [xPx + cos * dx + sin * dy, yPx - sin * dx + cos * dy];
}
