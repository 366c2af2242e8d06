import { describe, expect, it } from 'vitest';
import { fromUsual, isThin, measureBand, type BandRep } from '../../../shared-lib/band/measure-band.ts';
import { halfWidthsM, pathBand, type PathBand } from '../../../shared-lib/band/path-band.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import { legsOf, passing, type RepPath } from '../../../shared-lib/pair/line-up.ts';
import { simulatedRep } from './simulated-lifter.ts';

const rep = (value: number, session = 'monday', clip = session, u95 = 0): BandRep => ({
  value,
  u95,
  session,
  clip,
});

describe('the band of a measure', () => {
  it('is none below three reps and thin below five or from one session', () => {
    expect(measureBand([rep(1), rep(2)])).toBeNull();
    expect(isThin(measureBand([rep(1), rep(2), rep(3, 'friday')])!, 'today')).toBe(true);
    const oneSession = measureBand([1, 2, 3, 4, 5].map((v) => rep(v)))!;
    expect(isThin(oneSession, 'today')).toBe(true);
    expect(isThin(oneSession, 'monday')).toBe(false);
    const full = measureBand([1, 2, 3, 4, 5].map((v) => rep(v, v < 3 ? 'monday' : 'friday')))!;
    expect(isThin(full, 'today')).toBe(false);
  });

  // t(0.975, 4 degrees of freedom) = 2.776445 as every printed table has it.
  it('is the mean ± t s √(1 + 1/n)', () => {
    const band = measureBand([1, 2, 3, 4, 5].map((v) => rep(v)))!;
    expect(band).toMatchObject({ n: 5, mean: 3 });
    expect(band.sd).toBeCloseTo(Math.sqrt(2.5), 12);
    const { deviation, interval } = fromUsual(band, { value: 4, u95: 0 });
    expect(deviation).toBe(1);
    expect(interval[1] - deviation).toBeCloseTo(2.776445 * Math.sqrt(2.5 * 1.2), 5);
  });

  it('adds what today’s rep does not share: its own error, and the band’s averaged over clips', () => {
    const values = [1, 1, 1, 1, 1, 1];
    const twoClips = measureBand(values.map((v, i) => rep(v, 'monday', `clip ${i % 2}`, 0.1)))!;
    const { interval } = fromUsual(twoClips, { value: 1, u95: 0.2 });
    expect(interval[1]).toBeCloseTo(Math.hypot(0.2, 0.1 / Math.SQRT2), 12);
  });

  it('holds the next rep in 95 % of cases, and six measures at once in at least 95 %', () => {
    const random = seededRandom(7);
    const trials = 4000;
    let one = 0;
    let all = 0;
    for (let i = 0; i < trials; i++) {
      const inside = Array.from({ length: 6 }, () => {
        const band = measureBand(Array.from({ length: 5 }, () => rep(random.normal())))!;
        const today = { value: random.normal(), u95: 0 };
        const holds = (together: number): boolean => {
          const { interval } = fromUsual(band, today, together);
          return interval[0] <= 0 && interval[1] >= 0;
        };
        return [holds(1), holds(6)];
      });
      if (inside[0][0]) one++;
      if (inside.every(([, together]) => together)) all++;
    }
    // Three binomial standard errors are 1 %.
    expect(one / trials).toBeGreaterThan(0.94);
    expect(one / trials).toBeLessThan(0.96);
    expect(all / trials).toBeGreaterThan(0.94);
    expect(all / trials).toBeLessThan(0.97);
  });
});

describe('the band of the path', () => {
  const staysInside = (band: PathBand, path: RepPath): boolean => {
    const legs = legsOf(path);
    return (['down', 'up'] as const).every((way) => {
      const leg = band[way]!;
      const half = halfWidthsM(band, leg);
      return leg.heightM.every((heightM, i) => {
        const there = passing(legs[way]!, heightM);
        return there === null || Math.abs(there.xM - leg.meanM[i]) <= half[i] + 1e-9;
      });
    });
  };

  // Three reps know so little that the field's bound is wide.
  it.each([
    [3, 0.95, 1],
    [5, 0.93, 0.98],
    [10, 0.93, 0.98],
  ])('holds the whole of the next path in about 95 % of cases, from %i reps', (n, least, most) => {
    const random = seededRandom(n);
    const trials = 600;
    let inside = 0;
    for (let i = 0; i < trials; i++) {
      const band = pathBand(Array.from({ length: n }, () => simulatedRep(random, 0.01)))!;
      if (staysInside(band, simulatedRep(random, 0.01))) inside++;
    }
    // Two binomial standard errors are 1.8 %.
    expect(inside / trials).toBeGreaterThan(least);
    expect(inside / trials).toBeLessThanOrEqual(most);
  });

  it('is left by a rep 5 cm further forward at the bottom', () => {
    const random = seededRandom(3);
    const band = pathBand(Array.from({ length: 6 }, () => simulatedRep(random, 0.004)))!;
    expect(staysInside(band, simulatedRep(random, 0.004, 0.05))).toBe(false);
    expect(band.factor).toBeGreaterThan(2.5706); // t(0.975, 5) of a single height
  });

  it('is none for two reps', () => {
    const random = seededRandom(4);
    expect(pathBand([simulatedRep(random, 0.01), simulatedRep(random, 0.01)])).toBeNull();
  });
});
