import { robustSigma } from './statistics.ts';

/** How far the stated measurement sigmas are from the residuals of a smoother, as factors. */
export interface NoiseScale {
  /** On the scatter from sample to sample. */
  scatter: number;
  /** On the noise that gets through the smoother: above `scatter` when errors last over several samples. */
  inBand: number;
  /** Autoregression of the noise from sample to sample: 0 where the residuals are as white noise leaves them. */
  rho: number;
}

const gridPoints = 256;
const rhoMax = 0.75;

/**
 * Mean over frequency of what the smoother's residual holds of first-order autoregressive noise of unit
 * variance (`residual`, and its product with a lag of one sample), and of what its mean lets through,
 * relative to white noise (`passed`). `f0Dt`: f0 times the sampling interval.
 */
function spectrum(rho: number, f0Dt: number): { residual: number; lagged: number; passed: number } {
  let residual = 0;
  let lagged = 0;
  let passed = 0;
  let white = 0;
  for (let k = 0; k < gridPoints; k++) {
    const theta = (Math.PI * (k + 0.5)) / gridPoints;
    const gain = 1 / (1 + (theta / (2 * Math.PI * f0Dt)) ** 6);
    const density = (1 - rho * rho) / (1 - 2 * rho * Math.cos(theta) + rho * rho);
    residual += (1 - gain) ** 2 * density;
    lagged += (1 - gain) ** 2 * density * Math.cos(theta);
    passed += gain * gain * density;
    white += gain * gain;
  }
  return { residual: residual / gridPoints, lagged: lagged / gridPoints, passed: passed / white };
}

/**
 * Scale factors of the noise from standardised residuals (each divided by the sigma that its stated
 * variance leaves to it). Where neighbouring residuals resemble each other more than white noise's would,
 * the noise is taken as first-order autoregressive and its level within the pass band is reported.
 */
export function noiseScale(residuals: Float64Array, f0Dt: number): NoiseScale {
  const white = spectrum(0, f0Dt);
  const sigma = robustSigma(residuals);
  // Too little is left of the noise to say anything: believe what is stated.
  if (residuals.length < 12 || white.residual < 0.05 || Number.isNaN(sigma))
    return { scatter: 1, inBand: 1, rho: 0 };
  if (sigma === 0) return { scatter: 0, inBand: 0, rho: 0 };
  const clipped = residuals.map((z) => Math.max(-3, Math.min(3, z / sigma)));
  let squares = 0;
  let products = 0;
  for (let i = 0; i < clipped.length; i++) {
    squares += clipped[i] ** 2;
    if (i > 0) products += clipped[i] * clipped[i - 1];
  }
  const rho = rhoOf(products / squares, f0Dt);
  const { residual, passed } = spectrum(rho, f0Dt);
  const scatter = sigma * Math.sqrt(white.residual / residual);
  return { scatter, inBand: scatter * Math.sqrt(passed), rho };
}

/** The autoregression whose residuals have this correlation at a lag of one sample; 0 for less than white. */
function rhoOf(correlation: number, f0Dt: number): number {
  const correlationOf = (rho: number): number => {
    const { residual, lagged } = spectrum(rho, f0Dt);
    return lagged / residual;
  };
  if (correlation <= correlationOf(0)) return 0;
  let low = 0;
  let high = rhoMax;
  for (let k = 0; k < 30; k++) {
    const middle = (low + high) / 2;
    if (correlationOf(middle) < correlation) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
