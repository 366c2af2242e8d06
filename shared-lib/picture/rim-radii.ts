import type { Rim } from '../contract/trace.ts';

/** Radius of the circle of a rim's area, pixels. */
export const meanRadius = ({ aPx, bPx }: Pick<Rim, 'aPx' | 'bPx'>): number => Math.sqrt(aPx * bPx);

/** From a rim's middle to its highest point, pixels. */
export const verticalRadius = ({ aPx, bPx, thetaRad }: Pick<Rim, 'aPx' | 'bPx' | 'thetaRad'>): number =>
  Math.hypot(aPx * Math.sin(thetaRad), bPx * Math.cos(thetaRad));
