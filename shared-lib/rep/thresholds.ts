/** Figures of the event definitions. All common practice unless a source is named. */

/** Below this vertical speed the bar counts as still, m/s. */
export const stillMps = 0.03;
/** The start lies within this of the still top height, metres. */
export const startZoneM = 0.02;
/** Touch, bottom and drive start lie within this of the lowest point, metres. */
export const bottomZoneM = 0.03;
/** The bottom is the middle of the stretch that lies within this of the lowest point: on a paused bar the very lowest moment is noise, metres. */
export const flatBottomM = 0.002;
/** A minimum of the height counts from this prominence, metres. */
export const attemptM = 0.01;
/** Shorter pauses are touch-and-go, seconds. */
export const shortestPauseS = 0.2;
/** A bar that stays at the chest for longer than any pause is held will not leave it, seconds. */
export const stuckS = 3;
/** A pull that follows the bar's contact with the floor sooner is a rebound, seconds. */
export const reboundS = 0.3;
/** The least excursion of a rep, metres, and as a share of the clip's largest. */
export const leastExcursionM = 0.15;
export const leastShareOfLargest = 0.5;
/** A rep starts near the clip's still top height: within this, or this share of its range. */
export const topToleranceM = 0.05;
export const topToleranceShare = 0.15;

/** How near to its reference height a lockout is, metres. */
export const lockoutZoneM = (rangeM: number): number => Math.max(0.02, 0.04 * rangeM);
/** How near to its resting height a disc still counts as on the floor, metres. */
export const floorZoneM = (sigmaYM: number): number => Math.max(0.005, 3 * sigmaYM);
/** The least prominence of a velocity minimum that counts, m/s. */
export const velocityProminenceMps = (sigmaVMps: number): number => Math.max(0.02, 3 * sigmaVMps);

/** Typical one-sigma of the smoothed height and of the vertical velocity. */
export interface Noise {
  syM: number;
  svMps: number;
}

/** Whether a clip's noise lets stillness be told from slow motion; pause and tempo cannot be told otherwise. */
export const stillnessCanBeTold = ({ svMps }: Noise): boolean => 3 * svMps <= stillMps;
