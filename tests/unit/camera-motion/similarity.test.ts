import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { CameraMotion } from '../../../shared-lib/contract/trace.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import {
  applySimilarity,
  composeSimilarity,
  fitSimilarity,
  invertSimilarity,
  type PointPairs,
} from '../../../shared-lib/picture/similarity.ts';
import { drawsNeeded, findConsensus } from '../../../shared-lib/picture/similarity-consensus.ts';

const similarity = fc.record<CameraMotion>({
  scale: fc.double({ min: 0.5, max: 2, noNaN: true }),
  rotationRad: fc.double({ min: -3, max: 3, noNaN: true }),
  txPx: fc.double({ min: -500, max: 500, noNaN: true }),
  tyPx: fc.double({ min: -500, max: 500, noNaN: true }),
});
const coordinate = fc.double({ min: -2000, max: 2000, noNaN: true });

const pairsOf = (from: number[][], to: number[][], weight = from.map(() => 1)): PointPairs => ({
  fromX: Float64Array.from(from, (p) => p[0]),
  fromY: Float64Array.from(from, (p) => p[1]),
  toX: Float64Array.from(to, (p) => p[0]),
  toY: Float64Array.from(to, (p) => p[1]),
  weight: Float64Array.from(weight),
});

describe('fitSimilarity', () => {
  it("gives the similarity of Umeyama's three-point example, never its reflection", () => {
    // Umeyama 1991, IEEE TPAMI 13(4): R = [.832 .555; -.555 .832], c = .721, t = (-.8, .4).
    const from = [[0, 0], [1, 0], [0, 2]]; // prettier-ignore
    const to = [[0, 0], [-1, 0], [0, 2]]; // prettier-ignore
    const { similarity: s } = fitSimilarity(pairsOf(from, to))!;
    expect(Math.cos(s.rotationRad)).toBeCloseTo(0.83205, 5);
    expect(Math.sin(s.rotationRad)).toBeCloseTo(-0.5547, 5);
    expect(s.scale).toBeCloseTo(0.72111, 5);
    expect(s.txPx).toBeCloseTo(-0.8, 10);
    expect(s.tyPx).toBeCloseTo(0.4, 10);
    const square = from.map((p, i) => {
      const [x, y] = applySimilarity(s, p[0], p[1]);
      return (x - to[i][0]) ** 2 + (y - to[i][1]) ** 2;
    });
    expect(square.reduce((a, b) => a + b) / 3).toBeCloseTo(0.53333, 5);
  });

  it('recovers any similarity from exact points, whatever their weights', () => {
    fc.assert(
      fc.property(
        similarity,
        fc.array(fc.double({ min: 0.1, max: 10, noNaN: true }), { minLength: 3, maxLength: 3 }),
        (s, w) => {
          const from = [[0, 0], [100, 20], [-40, 70]]; // prettier-ignore
          const fit = fitSimilarity(
            pairsOf(
              from,
              from.map(([x, y]) => [...applySimilarity(s, x, y)]),
              w,
            ),
          )!;
          expect(fit.similarity.scale).toBeCloseTo(s.scale, 9);
          expect(fit.similarity.rotationRad).toBeCloseTo(s.rotationRad, 9);
          expect(fit.similarity.txPx).toBeCloseTo(s.txPx, 6);
          expect(fit.similarity.tyPx).toBeCloseTo(s.tyPx, 6);
        },
      ),
    );
  });

  it('has no answer for one point, for coincident points and for no weight', () => {
    expect(fitSimilarity(pairsOf([[1, 2]], [[3, 4]]))).toBeNull();
    expect(fitSimilarity(pairsOf([[1, 2], [1, 2]], [[3, 4], [5, 6]]))).toBeNull(); // prettier-ignore
    expect(fitSimilarity(pairsOf([[1, 2], [3, 2]], [[3, 4], [5, 6]], [0, 0]))).toBeNull(); // prettier-ignore
  });
});

describe('composeSimilarity and invertSimilarity', () => {
  it('compose as the maps do, and undo each other', () => {
    fc.assert(
      fc.property(similarity, similarity, coordinate, coordinate, (a, b, x, y) => {
        const [u, v] = applySimilarity(composeSimilarity(a, b), x, y);
        const [p, q] = applySimilarity(a, ...applySimilarity(b, x, y));
        expect(u).toBeCloseTo(p, 6);
        expect(v).toBeCloseTo(q, 6);
        const [r, t] = applySimilarity(invertSimilarity(a), ...applySimilarity(a, x, y));
        expect(r).toBeCloseTo(x, 6);
        expect(t).toBeCloseTo(y, 6);
      }),
    );
  });
});

describe('drawsNeeded', () => {
  it('is the published table of RANSAC draws for p = 0.99', () => {
    // ln(1-p) / ln(1-(1-e)^s): Hartley & Zisserman, table 4.3 (from memory, recomputed).
    const outliers = [0.05, 0.1, 0.2, 0.25, 0.3, 0.4, 0.5];
    const draws = (s: number) => outliers.map((e) => drawsNeeded(0.99, e, s));
    expect(draws(2)).toEqual([2, 3, 5, 6, 7, 11, 17]);
    expect(draws(3)).toEqual([3, 4, 7, 9, 11, 19, 35]);
    expect(draws(4)).toEqual([3, 5, 9, 13, 17, 34, 72]);
  });
});

describe('findConsensus', () => {
  it('finds the motion of the majority when two points in five go their own way together', () => {
    const truth = { scale: 1.01, rotationRad: 0.02, txPx: 5, tyPx: -3 };
    for (let seed = 1; seed <= 50; seed++) {
      const random = seededRandom(seed);
      const from = Array.from({ length: 50 }, () => [random.uniform() * 1000, random.uniform() * 600]);
      const to = from.map(([x, y], i) => {
        const [u, v] = applySimilarity(truth, x, y);
        return i < 20 ? [u + 12, v - 9] : [u + 0.1 * random.normal(), v + 0.1 * random.normal()];
      });
      const consensus = findConsensus(
        pairsOf(
          from,
          to,
          from.map(() => 100),
        ),
        {
          slackPx: 0.5,
          minBaselinePx: 100,
          random: () => random.uniform(),
        },
      )!;
      expect(Array.from(consensus.agrees.subarray(0, 20)).some(Boolean)).toBe(false);
      expect(consensus.agreeing).toBeGreaterThanOrEqual(28);
      const [x, y] = applySimilarity(consensus.similarity, 500, 300);
      const [u, v] = applySimilarity(truth, 500, 300);
      // Four sigma of the mean of thirty points with 0.1 px each.
      expect(Math.hypot(x - u, y - v)).toBeLessThan(4 * 0.1 * Math.sqrt(2 / 30));
    }
  });

  it('holds to what is expected unless clearly more pairs agree on another motion', () => {
    const there = { scale: 1, rotationRad: 0, txPx: 5, tyPx: 0 };
    const found = (elsewhere: number) => {
      const random = seededRandom(3);
      const from = Array.from({ length: 40 }, () => [random.uniform() * 1000, random.uniform() * 600]);
      const to = from.map(([x, y], i) => (i < elsewhere ? [x - 7, y] : [x + 5, y]));
      const options = { expected: there, rivalShare: 1.2, slackPx: 0.5, minBaselinePx: 100 };
      const weights = from.map(() => 100);
      return findConsensus(pairsOf(from, to, weights), { ...options, random: () => random.uniform() })!;
    };
    expect(found(21).similarity.txPx).toBeCloseTo(5, 6);
    expect(found(23).similarity.txPx).toBeCloseTo(-7, 6);
  });

  it('has no answer when nothing agrees', () => {
    const from = [[0, 0], [400, 0], [0, 300]]; // prettier-ignore
    const to = [[0, 0], [90, 700], [-800, 10]]; // prettier-ignore
    const options = {
      slackPx: 0.5,
      minBaselinePx: 50,
      random: () => seededRandom(1).uniform(),
    };
    expect(findConsensus(pairsOf(from, to), { ...options })).toBeNull();
    expect(findConsensus(pairsOf([], []), options)).toBeNull();
  });
});
