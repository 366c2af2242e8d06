import type { Knot } from '../contract/files.ts';
import { byPhase, legsOf, passing, type Leg, type RepPath } from './line-up.ts';

/** Both paths at equal bar heights on one way, down or up. Arrays have one entry per height. */
export interface HeightCurve {
  heightM: number[];
  /** Horizontal distance between the paths at this height, metres, never negative: shown and never called. */
  separationM: number[];
  /** Vertical velocity today minus reference, m/s. */
  velocityDifferenceMps: number[];
}

/** Heights are taken this far apart, metres. */
const heightStepM = 0.01;

function heightCurve(reference: Leg | null, today: Leg | null): HeightCurve | null {
  if (!reference || !today) return null;
  const curve: HeightCurve = { heightM: [], separationM: [], velocityDifferenceMps: [] };
  const lo = Math.min(...reference.heightM, ...today.heightM);
  const hi = Math.max(...reference.heightM, ...today.heightM);
  for (let k = Math.ceil(lo / heightStepM); k * heightStepM <= hi; k++) {
    const heightM = k * heightStepM;
    const a = passing(reference, heightM);
    const b = passing(today, heightM);
    if (!a || !b) continue;
    curve.heightM.push(heightM);
    curve.separationM.push(Math.abs(b.xM - a.xM));
    curve.velocityDifferenceMps.push(b.vyMps - a.vyMps);
  }
  return curve.heightM.length > 0 ? curve : null;
}

/**
 * The paths' separation and the velocities' difference as functions of bar height, down and up apart, in steps of 1 cm
 * over the heights that both reps pass. Null where a way does not exist in both.
 *
 * @param reference and today paths from the same origin
 */
export function curvesByHeight(
  reference: RepPath,
  today: RepPath,
): { down: HeightCurve | null; up: HeightCurve | null } {
  const [a, b] = [legsOf(reference), legsOf(today)];
  return { down: heightCurve(a.down, b.down), up: heightCurve(a.up, b.up) };
}

/** Vertical velocities at equal shares of a phase. Arrays have one entry per share. */
export interface PhaseCurve {
  /** The events between which the phase lies. */
  from: string;
  to: string;
  /** Share of the phase, 0 to 1. */
  share: number[];
  velocityDifferenceMps: number[];
}

/**
 * The vertical velocities' difference, today minus reference, at equal shares of each phase between matched events.
 *
 * @param steps intervals per phase
 */
export function curvesByPhase(
  reference: RepPath,
  today: RepPath,
  knots: readonly Knot[],
  steps = 50,
): PhaseCurve[] {
  return knots.slice(1).map((to, i) => {
    const from = knots[i];
    const curve: PhaseCurve = { from: from.event, to: to.event, share: [], velocityDifferenceMps: [] };
    for (let k = 0; k <= steps; k++) {
      const share = k / steps;
      const tS = from.referenceS + share * (to.referenceS - from.referenceS);
      curve.share.push(share);
      curve.velocityDifferenceMps.push(velocityAt(today, byPhase(knots, tS)) - velocityAt(reference, tS));
    }
    return curve;
  });
}

function velocityAt(path: RepPath, tS: number): number {
  const dtS = path.tS[1] - path.tS[0];
  const at = Math.min(Math.max((tS - path.tS[0]) / dtS, 0), path.tS.length - 1);
  const i = Math.min(Math.floor(at), path.tS.length - 2);
  return path.vyMps[i] + (at - i) * (path.vyMps[i + 1] - path.vyMps[i]);
}
