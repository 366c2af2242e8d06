import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import { drawnLevel, drawSlowError, slowErrorSteps } from '../../../shared-lib/motion/slow-error.ts';

const n = 25;
const tS = Float64Array.from({ length: n }, (_, i) => 0.01 * i + (i % 2) * 0.004);

/** Covariance of samples i and j over many draws of bars going at `speedMps`. */
function covariances(speedMps: number, draws: number): (i: number, j: number) => number {
  const random = seededRandom(3);
  const speed = new Float64Array(n).fill(speedMps);
  const all = Array.from({ length: draws }, () => drawSlowError(slowErrorSteps(tS, speed), random));
  return (i, j) => all.reduce((sum, e) => sum + e[i] * e[j], 0) / draws;
}

describe('the slow error of a trace', () => {
  it.each([
    ['stands', 0, 4],
    // At 0.64 m/s 15 a metre are 9.6 a second; in squares with 4 and 0.99 · 13 that is 16.6.
    ['moves', 0.64, 16.6],
  ])('has unit variance and the Matérn correlation (1 + s) exp(-s) while the bar %s', (_, speedMps, rate) => {
    const of = covariances(speedMps, 8000);
    // One standard error of a covariance is at most √(2 / 8000) = 0.016.
    for (const i of [0, 11, n - 1]) expect(of(i, i)).toBeCloseTo(1, 1);
    for (const [i, j] of [
      [0, 1],
      [3, 10],
      [0, n - 1],
    ]) {
      const s = rate * (tS[j] - tS[i]);
      expect(Math.abs(of(i, j) - (1 + s) * Math.exp(-s))).toBeLessThan(0.05);
    }
  });

  it('holds its value where times repeat', () => {
    const e = drawSlowError(slowErrorSteps(Float64Array.of(0, 0, 0.1), new Float64Array(3)), seededRandom(1));
    expect(e[1]).toBe(e[0]);
    expect(e[2]).not.toBe(e[1]);
  });

  it('has another level in each clip: half of them above the median, 1 in 40 beyond 2.7 times it', () => {
    const random = seededRandom(5);
    const levels = Array.from({ length: 8000 }, () => drawnLevel(3, random)).sort((a, b) => a - b);
    expect(levels[4000] / 3).toBeCloseTo(1, 1);
    // exp(0.5 · 1.96) = 2.66
    expect(Math.abs(levels[7800] / 3 - 2.66)).toBeLessThan(0.2);
  });
});
