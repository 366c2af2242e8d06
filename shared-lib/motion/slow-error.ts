import type { Random } from './random.ts';

/**
 * What a trace is off by slowly: light and shade wander over rim and face as the bar moves, and the compression with
 * them. It passes every smoother, as far as it goes no faster than the bar.
 *
 * One sigma of a clip in pixels, median, and the standard deviation of its logarithm from clip to clip. On the fixed scenes it
 * is 0.03 px in the median and 0.07 px at the 90th percentile (`npm run bench:error-model`); on 16 films of rendered pairs,
 * with read-out, bent lenses, loose discs and sideways travel, 0.11 px and 0.27 px, what those leave of themselves included.
 */
export const slowErrorPx = 0.09;
const levelSpread = 0.6;
/**
 * How fast it goes: its correlation is (1 + s) exp(-s), where s grows by 12 a second, and by 1 over 4 cm of the bar's way,
 * the two in squares: part of it goes with the time and part with the place in the picture. Over
 * a rep that is about the 15 a second of the median rendered clip (`npm run bench:error-model`).
 */
const ratePerS = 12;
const ratePerM = 25;

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
    const h = Math.hypot(ratePerS, ratePerM * speedMps[i]) * Math.max(0, tS[i + 1] - tS[i]);
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
