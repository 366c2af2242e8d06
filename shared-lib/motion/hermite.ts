/**
 * Weights of a quintic Hermite interpolation at `u` (0 to 1) of a step of length `h`: of position, velocity
 * and acceleration at its start and at its end. The first six give the position, the last six the velocity.
 */
export function quinticWeights(u: number, h: number, out: Float64Array, at: number): void {
  const u2 = u * u;
  const u3 = u2 * u;
  const u4 = u3 * u;
  const u5 = u4 * u;
  const rise = 10 * u3 - 15 * u4 + 6 * u5;
  const riseRate = h > 0 ? (30 * u2 - 60 * u3 + 30 * u4) / h : 0;
  out[at] = 1 - rise;
  out[at + 1] = h * (u - 6 * u3 + 8 * u4 - 3 * u5);
  out[at + 2] = (h * h * (u2 - 3 * u3 + 3 * u4 - u5)) / 2;
  out[at + 3] = rise;
  out[at + 4] = h * (-4 * u3 + 7 * u4 - 3 * u5);
  out[at + 5] = (h * h * (u3 - 2 * u4 + u5)) / 2;
  out[at + 6] = -riseRate;
  out[at + 7] = 1 - 18 * u2 + 32 * u3 - 15 * u4;
  out[at + 8] = (h * (2 * u - 9 * u2 + 12 * u3 - 5 * u4)) / 2;
  out[at + 9] = riseRate;
  out[at + 10] = -12 * u2 + 28 * u3 - 15 * u4;
  out[at + 11] = (h * (3 * u2 - 8 * u3 + 5 * u4)) / 2;
}
