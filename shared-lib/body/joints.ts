import type { Lift } from '../contract/lift.ts';
import type { Joint } from '../contract/body.ts';

/**
 * How far the body's midline lies behind the disc's near face, metres, and one sigma: half the bar between its collars
 * (0.655 m by rule) and 3 to 18 cm of discs, the lifter a little off the middle.
 */
export const midline = { depthM: 0.74, sigmaM: 0.05 } as const;

/**
 * What is followed of a joint is this wide, metres, where not as wide as usual: a shoe that tips about its toes moves less
 * the farther ahead of the heel it is looked at (of 2 cm a patch of 9 cm shows 1.6, one of 6 cm 1.8; rendered clips).
 */
export const followedWidthM: Partial<Record<Joint, number>> = { heel: 0.06, toe: 0.06 };

interface Offset {
  /** From the midline toward the camera, metres. */
  nearerM: number;
  /** One sigma between lifters and stances. */
  sigmaM: number;
}

const trunkJoints = {
  head: { nearerM: 0, sigmaM: 0.03 },
  shoulder: { nearerM: 0.2, sigmaM: 0.025 },
  hip: { nearerM: 0.125, sigmaM: 0.025 },
  'hip crease': { nearerM: 0.125, sigmaM: 0.04 },
} as const;

const leg = (
  kneeM: number,
  footM: number,
): Record<'knee' | 'knee top' | 'ankle' | 'heel' | 'toe', Offset> => ({
  knee: { nearerM: kneeM, sigmaM: 0.06 },
  'knee top': { nearerM: kneeM, sigmaM: 0.06 },
  ankle: { nearerM: footM, sigmaM: 0.05 },
  heel: { nearerM: footM, sigmaM: 0.05 },
  toe: { nearerM: footM + 0.045, sigmaM: 0.05 },
});

/**
 * How far each joint of the near side lies from the body's midline: half the usual breadths of shoulders and hips, and
 * of stance and grip (common practice; wide stances lie outside).
 */
export const jointOffsets: Record<Lift, Record<Joint, Offset>> = {
  squat: {
    ...trunkJoints,
    ...leg(0.24, 0.21),
    elbow: { nearerM: 0.38, sigmaM: 0.08 },
    wrist: { nearerM: 0.4, sigmaM: 0.08 },
  },
  bench: {
    ...trunkJoints,
    ...leg(0.3, 0.3),
    elbow: { nearerM: 0.4, sigmaM: 0.08 },
    wrist: { nearerM: 0.37, sigmaM: 0.05 },
  },
  deadlift: {
    ...trunkJoints,
    ...leg(0.2, 0.15),
    elbow: { nearerM: 0.235, sigmaM: 0.03 },
    wrist: { nearerM: 0.255, sigmaM: 0.03 },
  },
};

/** A joint in the middle of a limb: half-way between the limb's ends while straight, and farther out the more it bends. */
export interface Hinge {
  ends: readonly [Joint, Joint];
  /** How far out it goes for each metre that it bends out of the line between the ends in the side view; one sigma. */
  outward: Record<Lift, number>;
  outwardSigma: number;
  /** One sigma of what else there is, metres. */
  sigmaM: number;
}

/**
 * Knees go out over toes that are turned out by some 20 degrees; elbows leave the body about half-way between side and
 * shoulder line on the bench, and hang straight in a deadlift (common practice).
 */
export const hinges: Partial<Record<Joint, Hinge>> = {
  knee: {
    ends: ['hip', 'ankle'],
    outward: { squat: 0.35, bench: 0.35, deadlift: 0.35 },
    outwardSigma: 0.12,
    sigmaM: 0.02,
  },
  elbow: {
    ends: ['shoulder', 'wrist'],
    outward: { squat: 0.35, bench: 1, deadlift: 0 },
    outwardSigma: 0.35,
    sigmaM: 0.025,
  },
};
