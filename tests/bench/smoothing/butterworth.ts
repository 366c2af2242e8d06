/** Second-order low-pass: y[i] = a0 x[i] + a1 x[i-1] + a2 x[i-2] + b1 y[i-1] + b2 y[i-2]. */
export interface LowPass {
  a0: number;
  a1: number;
  a2: number;
  b1: number;
  b2: number;
}

/**
 * Winter's second-order Butterworth low-pass whose gain after `passes` passes is 1/sqrt(2) at the cut-off.
 * Source: Winter, Biomechanics and Motor Control of Human Movement, 4th ed. 2009, p. 69.
 */
export function lowPass(sampleRateHz: number, cutoffHz: number, passes = 1): LowPass {
  if (!(cutoffHz > 0 && cutoffHz < sampleRateHz / 2)) {
    throw new RangeError(`The cut-off ${cutoffHz} Hz must lie between 0 and half of ${sampleRateHz} Hz.`);
  }
  const correction = (2 ** (1 / passes) - 1) ** 0.25;
  const wc = Math.tan((Math.PI * cutoffHz) / sampleRateHz) / correction;
  const k2 = wc * wc;
  const a0 = k2 / (1 + Math.SQRT2 * wc + k2);
  const k3 = (2 * a0) / k2;
  return { a0, a1: 2 * a0, a2: a0, b1: k3 - 2 * a0, b2: 1 - 2 * a0 - k3 };
}

/** One pass in place, from the steady state of the first sample. */
function runInPlace(signal: Float64Array, { a0, a1, a2, b1, b2 }: LowPass): void {
  let x1 = signal[0];
  let x2 = x1;
  let y1 = x1;
  let y2 = x1;
  for (let i = 0; i < signal.length; i++) {
    const x = signal[i];
    const y = a0 * x + a1 * x1 + a2 * x2 + b1 * y1 + b2 * y2;
    x2 = x1;
    x1 = x;
    y2 = y1;
    y1 = y;
    signal[i] = y;
  }
}

/**
 * Forward and backward, so without lag. Both ends are padded by one and a half periods of the cut-off,
 * the signal turned by 180 degrees about its end sample, as unpadded ends swing wildly
 * (Vint & Hinrichs 1996, J Biomech 29:1637-1642).
 */
export function filterForwardBackward(
  signal: Float64Array,
  sampleRateHz: number,
  cutoffHz: number,
): Float64Array {
  const n = signal.length;
  if (n < 3) return signal.slice();
  const coefficients = lowPass(sampleRateHz, cutoffHz, 2);
  const pad = Math.min(n - 1, Math.ceil((1.5 * sampleRateHz) / cutoffHz));
  const padded = new Float64Array(n + 2 * pad);
  padded.set(signal, pad);
  for (let k = 1; k <= pad; k++) {
    padded[pad - k] = 2 * signal[0] - signal[k];
    padded[pad + n - 1 + k] = 2 * signal[n - 1] - signal[n - 1 - k];
  }
  runInPlace(padded, coefficients);
  padded.reverse();
  runInPlace(padded, coefficients);
  padded.reverse();
  return padded.slice(pad, pad + n);
}
