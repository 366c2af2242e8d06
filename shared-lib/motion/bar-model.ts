/** States: position, velocity, acceleration of the bar, and the slow error of the measurement. */
export const states = 4;
const cells = states * states;

/**
 * Unit of time of the model, seconds. With times in units of it and variances in units of the measurement's, jerk of
 * the power density h (the interval in that unit) gives the smoother the gain 1 / (1 + (f / f0)^6) with
 * f0 = 1 / (2 pi unitS) = 5 Hz, since a jerk of power q makes it (q / w^6) / (q / w^6 + r h).
 */
export const unitS = 1 / (2 * Math.PI * 5);

/**
 * What a followed disc is off by: white noise, and a slow error as light and shade wander over it with the bar. The slow
 * error's one sigma against the white noise's, and the time over which it is forgotten, seconds: measured on rendered
 * clips (medians of 18: white 0.12 mm, slow 0.17 mm for 0.3 s; the larger share covers moving stretches better).
 */
export const slowError = { share: 2, memoryS: 0.3 } as const;

/** What leads from each sample to the next; matrices of 4 x 4, row by row. */
export interface BarModel {
  n: number;
  /** One sigma of the slow error against the white noise's. */
  slowShare: number;
  transition: Float64Array;
  /** Noise of jerk of power density 1. */
  jerkNoise: Float64Array;
  /** What the slow error gets anew, relative to the white noise's variance. */
  slowNoise: Float64Array;
}

/** The model between samples at `tS`; times may repeat. */
export function barModel(tS: Float64Array, slowShare: number): BarModel {
  const n = tS.length;
  const transition = new Float64Array(cells * n);
  const jerkNoise = new Float64Array(cells * n);
  const slowNoise = new Float64Array(n);
  for (let i = 0; i + 1 < n; i++) {
    const dtS = Math.max(0, tS[i + 1] - tS[i]);
    const h = dtS / unitS;
    const h2 = h * h;
    const h3 = h2 * h;
    const kept = Math.exp(-dtS / slowError.memoryS);
    transition.set([1, h, h2 / 2, 0, 0, 1, h, 0, 0, 0, 1, 0, 0, 0, 0, kept], cells * i);
    const [q00, q01, q02] = [(h3 * h2) / 20, (h2 * h2) / 8, h3 / 6];
    jerkNoise.set([q00, q01, q02, 0, q01, h3 / 3, h2 / 2, 0, q02, h2 / 2, h, 0, 0, 0, 0, 0], cells * i);
    slowNoise[i] = slowShare ** 2 * (1 - kept * kept);
  }
  return { n, slowShare, transition, jerkNoise, slowNoise };
}

/** Jerk's power density at which samples `intervalS` apart are smoothed as by a filter with this f0. */
export const jerkOf = (f0Hz: number, intervalS: number): number =>
  (intervalS / unitS) * (2 * Math.PI * unitS * f0Hz) ** 6;
export const f0Of = (jerk: number, intervalS: number): number =>
  ((jerk * unitS) / intervalS) ** (1 / 6) / (2 * Math.PI * unitS);
