import type { Lift } from '../contract/lift.ts';

/** How tall adults are, metres: nearly nobody is smaller or taller (from memory of national surveys; common practice). */
const statureM = { least: 1.4, most: 2.15 } as const;

/**
 * Lengths of a body as shares of its stature: Drillis and Contini 1966, as in Winter's textbook (from memory). The arm
 * reaches from the shoulder to the bar in the fist.
 */
const share = {
  shank: 0.246,
  thigh: 0.245,
  trunk: 0.288,
  arm: 0.186 + 0.146 + 0.045,
  shoulder: 0.818,
} as const;

/** Height of a bar on the floor: half the largest disc. */
const barOnFloorM = 0.225;
/** Lifters stand on blocks for some pulls, up to this (common practice). */
const blockM = 0.1;
/** How far a trunk leans at the bottom of the deepest squat, radians (common practice). */
const deepestLeanRad = 0.9;

interface Limits {
  least: number;
  most: number;
}

/**
 * How far a bar goes in one rep, metres: no lifter's goes farther, and hardly any whole rep's less.
 *
 * A bench press is bounded by the arm, less a chest that is at least 0.1 m above the shoulder joint; its least is that of a
 * high arch and a wide grip. A squat's deepest has the hips at the ankles and the trunk leaning, its least is half a thigh.
 * A deadlift ends where the bar hangs from straight arms, at its least in a wide stance with a wide grip or from blocks.
 */
export const rangeOfRepM: Record<Lift, Limits> = {
  bench: { least: 0.12, most: share.arm * statureM.most - 0.1 },
  squat: {
    least: 0.5 * share.thigh * statureM.least,
    most: (share.shank + share.thigh + share.trunk * (1 - Math.cos(deepestLeanRad))) * statureM.most,
  },
  deadlift: { least: 0.12, most: (share.shoulder - share.arm) * statureM.most - barOnFloorM + blockM },
};

/**
 * Mean velocity of a drive, m/s. Fastest: 1.3 m/s at the lightest loads that were measured (González-Badillo and
 * Sánchez-Medina 2010), and half as much again for a bar that is thrown. Slowest: a third of what competitive powerlifters
 * move their best bench press with, 0.10 m/s (Helms et al. 2017).
 */
export const meanDriveMps: Limits = { least: 0.1 / 3, most: 1.5 * 1.3 };
