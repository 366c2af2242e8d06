import type { Random } from './random.ts';

/**
 * What a trace is off by slowly: light and shade wander over rim and face as the bar moves, and the compression with
 * them. It passes every smoother, as far as it goes no faster than the bar.
 *
 * One sigma of a clip's slow error, metres: what its smoothed velocities are off by beside what its white noise leaves of
 * itself, on films of rendered pairs with even numbers (`npm run bench:pairs`). It goes with the root of the noise that
 * the clip shows, 0.15 mm for 0.01 mm and 0.47 mm for 0.1 mm, since part of it is the noise's own and part is there in any
 * clip; neither the size of a pixel nor of the disc tells more.
 *
 * @param noiseM the white noise that the clip shows, one sigma, metres
 */
export const slowErrorM = (noiseM: number): number => Math.sqrt(slowPerNoiseM * noiseM);
const slowPerNoiseM = 0.0022;
/** Standard deviation of its logarithm from clip to clip. */
const levelSpread = 0.5;
/**
 * How fast it goes: its correlation is (1 + s) exp(-s), where s grows by 4 a second while the bar stands, by 13 more as soon
 * as it moves, and by 15 a metre of its way, the three in squares: what a bar looks like changes with where it is, and hardly
 * while it stands still. Over 0.1 s traces of rendered pairs wandered by 0.15 mm at rest, by 0.4 mm at 0.1 to 0.5 m/s and by
 * 0.5 mm above (medians).
 */
const restPerS = 4;
const movingPerS = 13;
const movingMps = 0.08;
const ratePerM = 15;

/** Growth of s a second. */
const rateAt = (speedMps: number): number =>
  Math.hypot(restPerS, (movingPerS * speedMps) / Math.hypot(speedMps, movingMps), ratePerM * speedMps);

/** One sigma in this draw, given the median over clips. */
export const drawnLevel = (median: number, random: Random): number =>
  median * Math.exp(levelSpread * random.normal());

/** How a slow error goes from each sample to the next, 6 per sample: its transition's three figures and its noise's. */
export type SlowErrorSteps = Float64Array;
const perStep = 6;

/**
 * The steps between the times `tS` of a process with the Matérn covariance of order 3/2 in its own time s, exact
 * (Särkkä & Solin 2019, Applied Stochastic Differential Equations, section 12.3, from memory).
 *
 * @param speedMps the bar's speed at each time
 */
export function slowErrorSteps(tS: Float64Array, speedMps: Float64Array): SlowErrorSteps {
  const steps = new Float64Array(perStep * Math.max(0, tS.length - 1));
  for (let i = 0; i + 1 < tS.length; i++) {
    const h = rateAt(speedMps[i]) * Math.max(0, tS[i + 1] - tS[i]);
    const e = Math.exp(-h);
    const [a00, a01, a11] = [(1 + h) * e, h * e, (1 - h) * e];
    // What the transition loses of the stationary unit covariance the noise restores.
    const l00 = Math.sqrt(Math.max(0, 1 - a00 * a00 - a01 * a01));
    const l10 = l00 > 0 ? (a01 * (a00 - a11)) / l00 : 0;
    const l11 = Math.sqrt(Math.max(0, 1 - a01 * a01 - a11 * a11 - l10 * l10));
    steps.set([a00, a01, a11, l00, l10, l11], perStep * i);
  }
  return steps;
}

/** One slow error of unit variance, one value more than steps. */
export function drawSlowError(steps: SlowErrorSteps, random: Random): Float64Array {
  const out = new Float64Array(steps.length / perStep + 1);
  let p = random.normal();
  let v = random.normal();
  for (let i = 0, k = 0; k < steps.length; i++, k += perStep) {
    out[i] = p;
    const z0 = random.normal();
    const z1 = random.normal();
    const before = p;
    p = steps[k] * p + steps[k + 1] * v + steps[k + 3] * z0;
    v = -steps[k + 1] * before + steps[k + 2] * v + steps[k + 4] * z0 + steps[k + 5] * z1;
  }
  out[out.length - 1] = p;
  return out;
}
