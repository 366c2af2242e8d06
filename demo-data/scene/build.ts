import type { Lift } from '../../shared-lib/contract/lift.ts';
import type { LifterSpec } from './spec.ts';

/** Lengths of a body, metres. */
export interface Build {
  foot: number;
  ankle: number;
  shank: number;
  thigh: number;
  /** Hip joint to shoulder joint. */
  trunk: number;
  upperArm: number;
  /** Elbow to the bar in the hand. */
  forearm: number;
  /** Half the distance between the shoulder joints, and between the hip joints. */
  shoulderHalf: number;
  hipHalf: number;
  /** Shoulder joint line to the middle of the head. */
  neck: number;
  head: number;
}

/** Segment lengths as shares of body height (Drillis and Contini 1966, as in Winter's textbook; from memory). */
export function buildOf({ heightM: h }: LifterSpec): Build {
  return {
    foot: 0.152 * h,
    ankle: 0.039 * h,
    shank: 0.246 * h,
    thigh: 0.245 * h,
    trunk: 0.288 * h,
    upperArm: 0.186 * h,
    forearm: 0.146 * h + 0.045 * h,
    shoulderHalf: 0.115 * h,
    hipHalf: 0.055 * h,
    neck: 0.118 * h,
    head: 0.066 * h,
  };
}

/** Height of the bench's top; rulebooks ask for 42 to 45 cm. */
export const benchTopM = 0.43;
/** Height of the shoulder joint of a lifter on the bench. */
export const benchShoulderM = benchTopM + 0.13;
/** Half the distance between the hands on the bar. */
export const handHalfM: Record<Lift, number> = { squat: 0.42, bench: 0.36, deadlift: 0.26 };
/** The bar on a lifter's back: behind and above the shoulder joint, along and across the trunk. */
export const barOnBack = { along: 0.035, behind: 0.06 };

/** Height of the bar's centre at the start of a rep, metres above the floor. */
export function startHeightM(lift: Lift, lifter: LifterSpec): number {
  const b = buildOf(lifter);
  if (lift === 'deadlift') return 0.225;
  if (lift === 'bench') {
    const across = handHalfM.bench - b.shoulderHalf;
    const arm = (b.upperArm + b.forearm) * 0.985;
    return benchShoulderM + Math.sqrt(arm * arm - across * across);
  }
  return b.ankle + (b.shank + b.thigh) * 0.992 + b.trunk * 0.985 + barOnBack.along;
}
