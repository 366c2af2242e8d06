import type { Motion } from '../contract/motion.ts';
import type { Random } from '../motion/random.ts';

/**
 * What a trace is off by slowly: light and shade wander over rim and face as the bar moves, and the compression with
 * them. It passes every smoother, since it goes no faster than the bar.
 */
export interface SlowError {
  /** One sigma, metres. */
  sigmaM: number;
  /** How fast it goes, 1/s: its correlation over a time t is (1 + rate t) exp(-rate t). */
  ratePerS: number;
}

/** Standard deviation in pixels, measured on rendered clips (`npm run bench:error-model`). */
export const slowErrorPx = 0.08;
/** Rate, 1/s, measured on rendered clips (`npm run bench:error-model`). */
const slowErrorRatePerS = 10;

export const slowErrorOf = (metresPerPx: number): SlowError => ({
  sigmaM: slowErrorPx * metresPerPx,
  ratePerS: slowErrorRatePerS,
});

/**
 * Adds one drawn slow error to a motion, positions and velocities together: a stationary process with the Matérn
 * covariance of order 3/2, stepped exactly (Särkkä & Solin 2019, Applied Stochastic Differential Equations, section
 * 12.3, from memory).
 */
export function addSlowError(motion: Motion, { sigmaM, ratePerS }: SlowError, random: Random): Motion {
  const step = stepOf(ratePerS, motion.dtS);
  const x = process(motion.xM.length, step, random);
  const y = process(motion.xM.length, step, random);
  const plus = (a: Float64Array, b: Float64Array): Float64Array => a.map((v, i) => v + sigmaM * b[i]);
  return {
    ...motion,
    xM: plus(motion.xM, x.value),
    yM: plus(motion.yM, y.value),
    vxMps: plus(motion.vxMps, x.rate),
    vyMps: plus(motion.vyMps, y.rate),
  };
}

/** One step of the process of unit variance: transition matrix, lower root of the noise, rate. */
interface Step {
  a: readonly [number, number, number, number];
  root: readonly [number, number, number];
  ratePerS: number;
}

function stepOf(rate: number, dt: number): Step {
  const e = Math.exp(-rate * dt);
  const a = [(1 + rate * dt) * e, dt * e, -rate * rate * dt * e, (1 - rate * dt) * e] as const;
  // The stationary covariance is diag(1, rate²); what the transition loses of it the noise restores.
  const r2 = rate * rate;
  const q00 = 1 - a[0] * a[0] - r2 * a[1] * a[1];
  const q01 = -a[0] * a[2] - r2 * a[1] * a[3];
  const q11 = r2 - a[2] * a[2] - r2 * a[3] * a[3];
  const l00 = Math.sqrt(Math.max(q00, 0));
  const l10 = l00 > 0 ? q01 / l00 : 0;
  return { a, root: [l00, l10, Math.sqrt(Math.max(q11 - l10 * l10, 0))], ratePerS: rate };
}

function process(
  n: number,
  { a, root, ratePerS }: Step,
  random: Random,
): { value: Float64Array; rate: Float64Array } {
  const value = new Float64Array(n);
  const rate = new Float64Array(n);
  let p = random.normal();
  let v = ratePerS * random.normal();
  for (let i = 0; i < n; i++) {
    value[i] = p;
    rate[i] = v;
    const z0 = random.normal();
    const z1 = random.normal();
    const next = a[0] * p + a[1] * v + root[0] * z0;
    v = a[2] * p + a[3] * v + root[1] * z0 + root[2] * z1;
    p = next;
  }
  return { value, rate };
}
