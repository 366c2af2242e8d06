import type { PlaneTrace } from '../../../shared-lib/contract/motion.ts';
import type { Random } from '../../../shared-lib/motion/random.ts';

/** A trace of n frames at `rateHz` whose height is a function of time; x stays at zero. */
export function traceOf(
  heightM: (t: number) => number,
  n: number,
  rateHz: number,
  sigmaM = 0.001,
  times: (i: number) => number = (i) => i / rateHz,
): PlaneTrace {
  const tS = Float64Array.from({ length: n }, (_, i) => times(i));
  return {
    tS,
    xM: new Float64Array(n),
    yM: tS.map(heightM),
    sxM: new Float64Array(n).fill(sigmaM),
    syM: new Float64Array(n).fill(sigmaM),
    state: new Uint8Array(n),
  };
}

/** The same with noise on both coordinates: first-order autoregressive with correlation rho, sigma in metres. */
export function noisy(trace: PlaneTrace, sigmaM: number, rho: number, random: Random): PlaneTrace {
  const noise = (): ((v: number) => number) => {
    let e = random.normal();
    return (v) => {
      e = rho * e + Math.sqrt(1 - rho * rho) * random.normal();
      return v + sigmaM * e;
    };
  };
  return { ...trace, xM: trace.xM.map(noise()), yM: trace.yM.map(noise()) };
}

/** The same with samples [from, to) lost. */
export function losing(trace: PlaneTrace, from: number, to: number): PlaneTrace {
  const lost = (a: Float64Array): Float64Array => a.map((v, i) => (i >= from && i < to ? NaN : v));
  return {
    ...trace,
    xM: lost(trace.xM),
    yM: lost(trace.yM),
    state: trace.state.map((s, i) => (i >= from && i < to ? 2 : s)),
  };
}

export const rms = (values: ArrayLike<number>): number =>
  Math.sqrt(Array.from(values).reduce((sum, v) => sum + v * v, 0) / values.length);
