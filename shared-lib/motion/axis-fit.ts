import type { PlaneTrace } from '../contract/motion.ts';
import { axisGains, type AxisGains, smoothAxis } from './axis-smoother.ts';
import { noiseScale, type NoiseScale } from './noise-scale.ts';
import { variancesOf } from './spans.ts';
import { median } from './statistics.ts';

/** Residuals beyond this many sigmas count less, in proportion to the square. */
const gate = 4;
/** But never less than this: a bar that meets the floor is no outlier, and doubted once it would be smoothed away for good. */
const mostDoubt = 9;
const mostRounds = 5;
/**
 * For a long series of white noise of relative variance 1, the residual's variance is 1 - 2 H + (H H'),
 * and (H H') = 5/6 H, as the integrals of g^2 and g over x are 5 pi / 18 and pi / 3 for g = 1 / (1 + x^6).
 */
const leverage = 7 / 6;

/** One coordinate over one span. */
export interface Axis {
  gains: AxisGains;
  /** Posterior mean, 3 per sample: metres, and the derivatives times tau and tau squared. */
  mean: Float64Array;
}

export interface AxisFit {
  axes: Axis[];
  /** The unit of the gains' variances: the noise's level in the pass band at the median stated sigma, metres. */
  noiseM: number;
  scale: NoiseScale;
}

/** Smooths one coordinate over all spans, outliers down-weighted in turns. */
export function fitAxis(
  trace: PlaneTrace,
  valuesM: Float64Array,
  sigmasM: Float64Array,
  spans: [number, number][],
  tauS: number,
  intervalS: number,
): AxisFit {
  const { tS, state } = trace;
  const f0Dt = intervalS / tauS / (2 * Math.PI);
  const stated = spans.map(([from, to]) => variancesOf(trace, sigmasM, from, to));
  const sigmaM = Math.sqrt(median(stated.flatMap((v) => [...v])));
  const values = spans.map(([from, to]) => valuesM.subarray(from, to));
  const relative = stated.map((v) => v.map((r) => r / (sigmaM * sigmaM)));
  const stepsOf = spans.map(([from, to]) =>
    Float64Array.from({ length: to - from - 1 }, (_, i) => (tS[from + i + 1] - tS[from + i]) / tauS),
  );
  const smooth = (k: number, variances: Float64Array): Axis => {
    const gains = axisGains(stepsOf[k], variances, intervalS / tauS);
    return { gains, mean: smoothAxis(gains, values[k]) };
  };

  let variances = relative;
  let axes: Axis[] = [];
  let scale: NoiseScale = { scatter: 1, inBand: 1, rho: 0 };
  for (let round = 0; round < mostRounds; round++) {
    axes = spans.map((_, k) => smooth(k, variances[k]));
    const z = axes.map((axis, k) => residuals(axis, values[k], relative[k], sigmaM));
    const seen = z.flatMap((r, k) => [...r].filter((_, i) => state[spans[k][0] + i] === 0));
    scale = noiseScale(Float64Array.from(seen), f0Dt);
    const limit = gate * Math.max(scale.scatter, 0.05);
    if (!z.some((r) => r.some((e) => Math.abs(e) > limit))) break;
    variances = relative.map((r, k) =>
      r.map((v, i) => v * Math.min(mostDoubt, Math.max(1, (z[k][i] / limit) ** 2 || 1))),
    );
  }
  return { axes, noiseM: sigmaM * scale.inBand, scale };
}

/** Residuals over the sigma that the stated variance leaves to them; NaN where nothing was measured. */
function residuals(
  { gains, mean }: Axis,
  y: Float64Array,
  stated: Float64Array,
  sigma: number,
): Float64Array {
  return Float64Array.from(y, (value, i) => {
    const r = gains.variances[i];
    if (r === Infinity) return NaN;
    const left = Math.max(0.05, 1 - (leverage * gains.posterior[3 * i]) / r);
    return (value - mean[3 * i]) / (sigma * Math.sqrt(stated[i] * left));
  });
}
