import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { setTrends } from '../../../shared-lib/band/set-trends.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';

/** A set of squats whose drift at the bottom creeps by so much in all, every measure scattering as a lifter's do. */
function simulatedSet(reps: number, creepM: number, seed: number) {
  const random = seededRandom(seed);
  return Array.from({ length: reps }, (_, k) => ({
    drift_bottom_m: 0.01 + (creepM * k) / (reps - 1) + 0.006 * random.normal(),
    drift_lockout_m: 0.004 * random.normal(),
    depth_m: 0.6 + 0.01 * random.normal(),
    descent_s: 1.4 + 0.1 * random.normal(),
    mean_drive_mps: 0.5 + 0.02 * random.normal(),
    slowest_mps: 0.3 + 0.02 * random.normal(),
  }));
}

describe('how a set goes', () => {
  it('holds the true course of every measure at once in 95 % of simulated sets of five', () => {
    const sets = 1000;
    let held = 0;
    let creeping = 0;
    for (let seed = 0; seed < sets; seed++) {
      const trends = setTrends('squat', simulatedSet(5, 0, seed));
      if (trends.every(({ lo95, hi95 }) => lo95 <= 0 && hi95 >= 0)) held++;
      if (trends.some(({ creeps }) => creeps)) creeping++;
    }
    // Two standard errors are 1.4 %; Bonferroni holds a little more than it promises.
    expect(held / sets).toBeGreaterThan(0.936);
    expect(held / sets).toBeLessThan(0.98);
    expect(creeping / sets).toBeLessThan(0.05);
  });

  it('finds a drift that creeps by 4 cm over eight reps in nine sets of ten, and where it goes', () => {
    const found = Array.from(
      { length: 300 },
      (_, seed) => setTrends('squat', simulatedSet(8, 0.04, seed))[0],
    );
    expect(found.filter(({ creeps }) => creeps).length / 300).toBeGreaterThan(0.9);
    const mean = found.reduce((s, t) => s + t.total, 0) / 300;
    expect(mean).toBeCloseTo(0.04, 2);
  });

  it('does not mind what the camera adds to all reps alike', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 1e6 }),
        fc.double({ min: -0.1, max: 0.1, noNaN: true }),
        (seed, addM) => {
          const set = simulatedSet(6, 0.03, seed);
          const [plain] = setTrends('squat', set);
          const [moved] = setTrends(
            'squat',
            set.map((rep) => ({ ...rep, drift_bottom_m: rep.drift_bottom_m + addM })),
          );
          for (const key of ['sd', 'total', 'lo95', 'hi95'] as const)
            expect(moved[key]).toBeCloseTo(plain[key], 9);
          expect(moved.last!.deviation).toBeCloseTo(plain.last!.deviation, 9);
        },
      ),
    );
  });

  it('gives the slope and the t interval of the least-squares line', () => {
    // 1, 2, 4, 3 over 0..3: slope 0.8, residual variance 0.9, standard error √(0.9 / 5), t(2, 0.975) = 4.3027.
    const [trend] = setTrends(
      'squat',
      [1, 2, 4, 3].map((depth_m) => ({ depth_m })),
    );
    expect(trend.total).toBeCloseTo(2.4, 12);
    expect(trend.hi95 - trend.total).toBeCloseTo(3 * 4.30265 * Math.sqrt(0.9 / 5), 3);
    expect(trend.creeps).toBe(false);
    // The last of them against 1, 2, 4: mean 7/3, standard deviation 1.5275, times 4.3027 √(4/3).
    expect(trend.last!.deviation).toBeCloseTo(2 / 3, 9);
    expect(trend.last!.hi95 - trend.last!.deviation).toBeCloseTo(4.30265 * 1.52753 * Math.sqrt(4 / 3), 3);
  });

  it('leaves out what fewer than three reps have', () => {
    expect(setTrends('bench', [{ pause_s: 1 }, { pause_s: 1.1 }, { pause_s: null }])).toEqual([]);
  });
});
