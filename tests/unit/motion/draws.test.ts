import { describe, expect, it } from 'vitest';
import type { Motion, PlaneTrace } from '../../../shared-lib/contract/motion.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import { smoothTrace, type SmoothedTrace } from '../../../shared-lib/motion/smoother.ts';
import { smoothingByEvidence } from '../../../shared-lib/motion/smoothing-by-evidence.ts';
import { type Leg, lengthS, scriptAt } from '../rep/script.ts';
import { losing, noisy, traceOf } from './traces.ts';

const origin = { x: 0, y: 0 };
const smooth = (trace: PlaneTrace): SmoothedTrace => smoothTrace(trace, smoothingByEvidence(trace));

describe('draws', () => {
  it("have the posterior's mean and standard deviation, in position and velocity", () => {
    const trace = noisy(
      traceOf((t) => 0.3 * Math.sin(3 * t), 180, 60),
      0.001,
      0,
      seededRandom(1),
    );
    const smoothed = smooth(losing(trace, 100, 112));
    const random = seededRandom(2);
    const n = 1500;
    const draws = Array.from({ length: n }, () => smoothed.draw(random));
    // Four base samples to a frame; frames at the first end, inside, within the gap.
    for (const frame of [0, 60, 106]) {
      const check = (of: (m: Motion) => number, sigma: number): void => {
        const errors = draws.map((d) => of(d) - of(smoothed.motion));
        const mean = errors.reduce((s, e) => s + e, 0) / n;
        const sd = Math.sqrt(errors.reduce((s, e) => s + e * e, 0) / n);
        // Four standard errors of a mean and of a standard deviation of n normals.
        expect(Math.abs(mean)).toBeLessThan((4 * sigma) / Math.sqrt(n));
        expect(Math.abs(sd / sigma - 1)).toBeLessThan(4 / Math.sqrt(2 * n));
      };
      check((m) => m.yM[4 * frame], smoothed.frame.syM[frame]);
      check((m) => m.xM[4 * frame], smoothed.frame.sxM[frame]);
      if (frame > 0) check((m) => m.vyMps[4 * frame], smoothed.frame.svyMps[frame]);
    }
  });

  it('are correlated in time: neighbours move together, distant samples do not', () => {
    const trace = noisy(
      traceOf((t) => 0.3 * Math.sin(5 * t), 180, 60),
      0.001,
      0,
      seededRandom(3),
    );
    const smoothed = smooth(trace);
    const random = seededRandom(4);
    const pairs = Array.from({ length: 800 }, () => {
      const { yM } = smoothed.draw(random);
      return [100, 101, 300].map((k) => yM[4 * 60 + k] - smoothed.motion.yM[4 * 60 + k]);
    });
    const correlation = (a: number, b: number): number => {
      const sum = (f: (p: number[]) => number): number => pairs.reduce((s, p) => s + f(p), 0);
      return sum((p) => p[a] * p[b]) / Math.sqrt(sum((p) => p[a] ** 2) * sum((p) => p[b] ** 2));
    };
    expect(correlation(0, 1)).toBeGreaterThan(0.98);
    // What is left of the slow error after 0.8 s, and four standard errors.
    expect(Math.abs(correlation(0, 2))).toBeLessThan(0.07 + 4 / Math.sqrt(800));
  });

  it('come out the same for the same seed', () => {
    const smoothed = smooth(
      noisy(
        traceOf(() => 0, 60, 30),
        0.001,
        0,
        seededRandom(5),
      ),
    );
    expect(smoothed.draw(seededRandom(6))).toEqual(smoothed.draw(seededRandom(6)));
    expect(smoothed.draw(seededRandom(6)).yM).not.toEqual(smoothed.draw(seededRandom(7)).yM);
  });

  it.each([0, 0.5])('cover the true position and velocity of lifts, noise correlated by %d', (rho) => {
    const random = seededRandom(8);
    const traces = 60;
    const hits = { yM: 0, vyMps: 0 };
    for (let k = 0; k < traces; k++) {
      const legs: Leg[] = [
        { s: 0.6 },
        { s: 1.2 + random.uniform(), y: -0.4 },
        { s: 1.2 + 1.5 * random.uniform(), y: 0 },
        { s: 0.6 },
      ];
      const truth = (t: number): number => scriptAt(origin, legs, t).y;
      const trace = noisy(traceOf(truth, Math.floor(30 * lengthS(legs)), 30, 0.0003), 0.0003, rho, random);
      const smoothed = smooth(trace);
      const i = Math.floor((0.15 + 0.7 * random.uniform()) * trace.tS.length);
      const { y, vy } = scriptAt(origin, legs, trace.tS[i]);
      if (Math.abs(smoothed.frame.yM[i] - y) <= 1.96 * smoothed.frame.syM[i]) hits.yM++;
      if (Math.abs(smoothed.motion.vyMps[8 * i] - vy) <= 1.96 * smoothed.frame.svyMps[i]) hits.vyMps++;
    }
    // 95 % less three binomial standard errors (2.8 % each). No upper bound: white noise is less than the model expects.
    expect(hits.yM / traces).toBeGreaterThan(0.95 - 3 * 0.0281);
    expect(hits.vyMps / traces).toBeGreaterThan(0.95 - 3 * 0.0281);
  });
});
