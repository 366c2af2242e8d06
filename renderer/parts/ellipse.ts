import type { Rim } from '../../shared-lib/contract/trace.ts';
import type { PointPx } from './clip-figure.tsx';

/** The four ends of a rim's axes: the two nearest to lying across come first, left before right, then top and bottom. */
export const rimEnds = ['left', 'right', 'top', 'bottom'] as const;
export type RimEnd = (typeof rimEnds)[number];

interface Axes {
  x: number;
  y: number;
  /** Half the axis that lies more across, and half the one that lies more up and down; each points right or down. */
  across: [number, number];
  down: [number, number];
}

function axesOf({ xPx, yPx, aPx, bPx, thetaRad }: Rim): Axes {
  const [c, s] = [Math.cos(thetaRad), Math.sin(thetaRad)];
  const major: [number, number] = [aPx * c, aPx * s];
  const minor: [number, number] = [-bPx * s, bPx * c];
  const isAcross = Math.abs(c) >= Math.abs(s);
  const [across, down] = isAcross ? [major, minor] : [minor, major];
  const right = across[0] >= 0 ? across : ([-across[0], -across[1]] as [number, number]);
  const below = down[1] >= 0 ? down : ([-down[0], -down[1]] as [number, number]);
  return { x: xPx, y: yPx, across: right, down: below };
}

export function endOf(rim: Rim, end: RimEnd): PointPx {
  const { x, y, across, down } = axesOf(rim);
  const [dx, dy] = end === 'left' || end === 'right' ? across : down;
  const sign = end === 'left' || end === 'top' ? -1 : 1;
  return { xPx: x + sign * dx, yPx: y + sign * dy };
}

/** Rounder than this, a rim's axes point nowhere in particular. */
const roundRatio = 0.97;

/** A rim that is nearly round with its axes laid across and down, as wide and as high as it is. */
export function upright<R extends Rim>(rim: R): R {
  if (rim.bPx / rim.aPx < roundRatio) return rim;
  const [c, s] = [Math.cos(rim.thetaRad), Math.sin(rim.thetaRad)];
  const wide = Math.hypot(rim.aPx * c, rim.bPx * s);
  const high = Math.hypot(rim.aPx * s, rim.bPx * c);
  return wide >= high
    ? { ...rim, aPx: wide, bPx: high, thetaRad: 0 }
    : { ...rim, aPx: high, bPx: wide, thetaRad: Math.PI / 2 };
}

/** The least half axis, pixels. */
const leastPx = 4;

/**
 * The rim with one end of an axis moved: the opposite end stays, the other axis keeps its length and turns along.
 */
export function withEnd<R extends Rim>(rim: R, end: RimEnd, to: PointPx): R {
  const opposite = { left: 'right', right: 'left', top: 'bottom', bottom: 'top' } as const;
  const fixed = endOf(rim, opposite[end]);
  const { across, down } = axesOf(rim);
  const isAcross = end === 'left' || end === 'right';
  const other = Math.hypot(...(isAcross ? down : across));
  const [dx, dy] = [(to.xPx - fixed.xPx) / 2, (to.yPx - fixed.yPx) / 2];
  const half = Math.max(leastPx, Math.hypot(dx, dy));
  const direction = Math.atan2(dy, dx);
  const [aPx, bPx] = half >= other ? [half, other] : [other, half];
  const theta = half >= other ? direction : direction + Math.PI / 2;
  return {
    ...rim,
    xPx: fixed.xPx + dx,
    yPx: fixed.yPx + dy,
    aPx,
    bPx,
    thetaRad: halfTurn(theta),
  };
}

/** The same direction of an axis within (-pi/2, pi/2]. */
function halfTurn(theta: number): number {
  const turned = theta - Math.PI * Math.round(theta / Math.PI);
  return turned <= -Math.PI / 2 ? turned + Math.PI : turned;
}
