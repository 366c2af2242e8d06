import type { Lift } from '../contract/lift.ts';

/** How the mean velocity of the drive goes with the load in a named population, all lifting as fast as they can. */
export interface LoadVelocityNorm {
  lift: Lift;
  /** Who was measured, for people. */
  population: string;
  /** Share of the best lift in per cent = a + b v + c v², v in m/s. */
  percent: readonly [a: number, b: number, c: number];
  /** Standard error of the estimate, per cent of the best lift. */
  seePct: number;
  /** Velocities over which the relation was measured, m/s. */
  rangeMps: readonly [least: number, most: number];
  source: string;
}

/** Deadlifts have none: thresholds from a population say too little there (Lake et al. 2017, Sports 5(3):70). */
export const loadVelocityNorms: Partial<Record<Lift, LoadVelocityNorm>> = {
  bench: {
    lift: 'bench',
    population: '120 trained men on a guided bar',
    percent: [113.02, -75.865, 7.5786],
    // Given for the propulsive velocity; the mean's is not larger than 4 (R² .98 in both).
    seePct: 4,
    rangeMps: [0.12, 1.3],
    source:
      'González-Badillo and Sánchez-Medina 2010, Int J Sports Med 31:347-352: velocity at the best lift .16 ± .04 m/s as published; coefficients and standard error from memory',
  },
  squat: {
    lift: 'squat',
    population: '80 trained men, full squat on a guided bar',
    percent: [117.0, -50.71, -5.961],
    seePct: 4,
    rangeMps: [0.28, 1.2],
    source:
      'Sánchez-Medina et al. 2017, Sports Med Int Open 1:E80-E88: velocity at the best lift .32 ± .03 m/s as published; coefficients and standard error from memory, given for the propulsive velocity',
  },
};

/** A lifter's mean velocity at one load from day to day, one standard error of measurement, m/s (Banyard et al. 2018, IJSPP 13:763-769). */
export const dayToDayMps = 0.04;

/** Velocity of the mean drive at the best lift in competitive powerlifters, mean and standard deviation, m/s (Helms et al. 2017, JSCR 31:292-297). */
export const velocityAtBestMps: Record<Lift, readonly [mean: number, sd: number]> = {
  squat: [0.23, 0.05],
  bench: [0.1, 0.04],
  deadlift: [0.14, 0.05],
};
