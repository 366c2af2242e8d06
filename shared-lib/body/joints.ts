import type { Lift } from '../contract/lift.ts';
import type { Joint } from '../contract/body.ts';

/** How far the body's midline lies behind the disc's near face, metres, and one sigma: half the bar between its collars and the discs. */
export const midline = { depthM: 0.7, sigmaM: 0.1 } as const;

interface Offset {
  /** From the midline toward the camera, metres. */
  nearerM: number;
  /** One sigma between lifters and stances. */
  sigmaM: number;
}

const trunkJoints = {
  head: { nearerM: 0, sigmaM: 0.03 },
  shoulder: { nearerM: 0.19, sigmaM: 0.03 },
  hip: { nearerM: 0.12, sigmaM: 0.03 },
  'hip crease': { nearerM: 0.12, sigmaM: 0.04 },
} as const;

const leg = (
  kneeM: number,
  footM: number,
): Record<'knee' | 'knee top' | 'ankle' | 'heel' | 'toe', Offset> => ({
  knee: { nearerM: kneeM, sigmaM: 0.06 },
  'knee top': { nearerM: kneeM, sigmaM: 0.06 },
  ankle: { nearerM: footM, sigmaM: 0.06 },
  heel: { nearerM: footM, sigmaM: 0.06 },
  toe: { nearerM: footM + 0.03, sigmaM: 0.06 },
});

/**
 * How far each joint of the near side lies from the body's midline: half the usual breadths of shoulders and hips, and
 * of stance and grip (common practice; wide stances lie outside).
 */
export const jointOffsets: Record<Lift, Record<Joint, Offset>> = {
  squat: {
    ...trunkJoints,
    ...leg(0.22, 0.2),
    elbow: { nearerM: 0.35, sigmaM: 0.08 },
    wrist: { nearerM: 0.4, sigmaM: 0.08 },
  },
  bench: {
    ...trunkJoints,
    ...leg(0.25, 0.28),
    elbow: { nearerM: 0.38, sigmaM: 0.08 },
    wrist: { nearerM: 0.36, sigmaM: 0.06 },
  },
  deadlift: {
    ...trunkJoints,
    ...leg(0.16, 0.15),
    elbow: { nearerM: 0.24, sigmaM: 0.04 },
    wrist: { nearerM: 0.26, sigmaM: 0.04 },
  },
};
