import type { Station } from './pen.ts';

/** Half thicknesses of a slender build, front or outer side first; drawn by eye after anatomy plates. */
export const thigh: readonly Station[] = [
  [-0.02, 0.085, 0.1],
  [0.25, 0.088, 0.092],
  [0.55, 0.08, 0.078],
  [0.85, 0.064, 0.056],
  [1, 0.06, 0.05],
];
export const shortsLeg: readonly Station[] = [
  [-0.02, 0.094, 0.108],
  [0.25, 0.098, 0.102],
  [0.5, 0.094, 0.094],
  [0.64, 0.092, 0.09],
];
export const kneeSleeve: readonly Station[] = [
  [0.8, 0.066, 0.06],
  [1.02, 0.063, 0.054],
];
export const shank: readonly Station[] = [
  [0, 0.056, 0.048],
  [0.12, 0.05, 0.056],
  [0.32, 0.044, 0.068],
  [0.6, 0.037, 0.048],
  [0.92, 0.033, 0.034],
  [1, 0.034, 0.034],
];
export const sock: readonly Station[] = [
  [0.72, 0.037, 0.043],
  [1, 0.037, 0.038],
];
export const upperArm: readonly Station[] = [
  [0, 0.06, 0.06],
  [0.2, 0.063, 0.06],
  [0.5, 0.054, 0.053],
  [0.85, 0.044, 0.043],
  [1, 0.043, 0.041],
];
export const sleeve: readonly Station[] = [
  [-0.06, 0.068, 0.066],
  [0.2, 0.072, 0.068],
  [0.52, 0.066, 0.064],
];
export const forearm: readonly Station[] = [
  [0, 0.042, 0.042],
  [0.2, 0.047, 0.046],
  [0.5, 0.04, 0.04],
  [0.85, 0.029, 0.028],
];
export const wristWrap: readonly Station[] = [
  [0.7, 0.036, 0.036],
  [0.86, 0.033, 0.033],
];
