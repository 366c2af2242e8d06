import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Handle } from '../../../shared-lib/contract/coaching.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import { drawSources, errorSources } from '../../../shared-lib/pair/sources.ts';
import { deviationOf } from '../../../shared-lib/wished-path/deviation.ts';
import { drawnWays } from '../../../shared-lib/wished-path/drawn-ways.ts';
import { deviationSentence } from '../../../shared-lib/wished-path/sentences.ts';
import { atOwnHeights, handlesOn, smoothWay } from '../../../shared-lib/wished-path/smooth-way.ts';
import { errors } from '../pair/clips.ts';
import { clipOf, courseOf, film, reps, type Rep } from '../pair/simulate.ts';
import { filming } from '../pair/trials.ts';

const handle = (xM: number, yM: number): Handle => ({ xM, yM });

describe('a smooth way through handles', () => {
  it('needs two heights, passes every handle, and is nothing above and below them', () => {
    expect(smoothWay([])).toBeNull();
    expect(smoothWay([handle(0, 0), handle(0.1, 0.005)])).toBeNull();
    const way = smoothWay([handle(0.02, -0.3), handle(0, 0), handle(0.05, -0.15)])!;
    expect(way(0)).toBeCloseTo(0, 12);
    expect(way(-0.15)).toBeCloseTo(0.05, 12);
    expect(way(-0.3)).toBeCloseTo(0.02, 12);
    expect(way(0.001)).toBeNull();
    expect(way(-0.301)).toBeNull();
  });

  it('is straight between two handles, and never leaves the span of the two that it runs between', () => {
    expect(smoothWay([handle(0, 0), handle(0.1, -0.4)])!(-0.1)).toBeCloseTo(0.025, 12);
    const some = fc.array(
      fc.record({ xM: fc.double({ min: -0.3, max: 0.3, noNaN: true }), yM: fc.double({ min: -1, max: 0.1, noNaN: true }) }), // prettier-ignore
      { minLength: 2, maxLength: 8 },
    );
    fc.assert(
      fc.property(some, fc.double({ min: 0, max: 1, noNaN: true }), (handles, share) => {
        const ordered = atOwnHeights(handles);
        fc.pre(ordered.length > 1);
        const way = smoothWay(handles)!;
        ordered.slice(1).forEach((above, i) => {
          const below = ordered[i];
          const x = way(Math.min(above.yM, below.yM + share * (above.yM - below.yM)))!;
          expect(x).toBeGreaterThanOrEqual(Math.min(below.xM, above.xM) - 1e-9);
          expect(x).toBeLessThanOrEqual(Math.max(below.xM, above.xM) + 1e-9);
        });
      }),
    );
  });

  it('starts from a measured way with handles that lie on it', () => {
    const measured = Array.from({ length: 101 }, (_, i) => handle(0.04 * Math.sin(i / 30), -i * 0.005));
    const handles = handlesOn(measured);
    expect(handles.map(({ yM }) => yM)).toEqual([-0.5, -0.375, -0.25, -0.125, 0]);
    const way = smoothWay(handles)!;
    for (const { xM, yM } of measured) expect(Math.abs(way(yM)! - xM)).toBeLessThan(0.004);
  });
});

/** Handles on the true way up of a rep, moved forward by `aside` in the middle of its heights. */
function trueWayUp(rep: Rep, aside: (share: number) => number): Handle[] {
  const { at, startS } = courseOf(rep);
  const fromS = startS + rep.descentS + rep.pauseS;
  return Array.from({ length: 12 }, (_, i) => {
    // Even in height, found by halving: the drive rises throughout.
    const yM = -rep.depthM + (0.02 + (0.96 * i) / 11) * rep.depthM;
    let [lo, hi] = [fromS, fromS + rep.driveS];
    for (let n = 0; n < 40; n++) {
      const mid = (lo + hi) / 2;
      if (at(mid).y < yM) lo = mid;
      else hi = mid;
    }
    return { xM: at(lo).x + aside(i / 11), yM };
  });
}

describe('deviation from the wished path', () => {
  const clip = clipOf(
    'bench',
    film(reps.bench, errors({ cameraDistanceM: 3 }), filming, seededRandom(4)),
    filming,
  );
  const ways = drawnWays(clip, 0, { draws: 150 });

  it('finds a planted 4 cm with its height, its direction in words and a call', () => {
    // Wished lies 4 cm toward the head in the middle: the bar is 4 cm toward the feet of it there.
    const wished = trueWayUp(reps.bench, (share) => -0.04 * Math.exp(-(((share - 0.5) / 0.2) ** 2)));
    const found = deviationOf(ways.up!, wished)!;
    expect(found.largest.deviationM).toBeCloseTo(0.04, 2);
    expect(Math.abs(found.largest.heightM + reps.bench.depthM / 2)).toBeLessThan(0.04);
    expect(found.largest.call).toBe('differs');
    expect(found.largest.lo95M).toBeGreaterThan(0.02);
    expect(deviationSentence('up', found, 'bench').replaceAll('\u00a0', ' ')).toMatch(
      /^On the way up the bar was up to (3\.9|4\.\d) cm \(± \d\.\d\) toward the feet of the wished path, 1\d\.\d cm below the start\.$/,
    );
    // The bump's own quadratic mean over the way: 4 cm · √(∫ exp(-2u²/0.2²) du) = 4 cm · √(0.2 √(π/2)), tails cut off.
    expect(found.rmsM).toBeCloseTo(0.04 * Math.sqrt(0.2 * Math.sqrt(Math.PI / 2)), 2);
  });

  it('says that the bar kept to a path that it did keep to', () => {
    const found = deviationOf(
      ways.up!,
      trueWayUp(reps.bench, () => 0),
    )!;
    expect(Math.abs(found.largest.deviationM)).toBeLessThan(0.006);
    expect(found.largest.call).toBe('no clear change');
    expect(found.rmsM).toBeLessThan(0.004);
    expect(found.rmsHi95M).toBeGreaterThanOrEqual(found.rmsM);
  });

  it('judges only heights that both have', () => {
    expect(deviationOf(ways.up!, [handle(0, 0.4), handle(0, 0.6)])).toBeNull();
    const half = deviationOf(ways.up!, [handle(0, -0.3), handle(0, -0.1)])!;
    expect(Math.min(...half.heightM)).toBeGreaterThanOrEqual(-0.3 - 1e-9);
    expect(Math.max(...half.heightM)).toBeLessThanOrEqual(-0.1 + 1e-9);
  });

  it('holds the true deviation at every height at once in films of a lifter who kept to it', () => {
    const random = seededRandom(11);
    const wished = trueWayUp(reps.bench, () => 0);
    const table = errorSources(clip);
    const films = 16;
    let held = 0;
    for (let k = 0; k < films; k++) {
      const filmed = clipOf('bench', film(reps.bench, drawSources(table, random), filming, random), filming);
      const { up } = drawnWays(filmed, 0, { draws: 60, seed: k });
      const found = deviationOf(up!, wished)!;
      if (found.heightM.every((_, i) => found.lo95M[i] <= 0.002 && found.hi95M[i] >= -0.002)) held++;
    }
    // 16 films at 95 %: fewer than 13 would be a chance of one in a thousand.
    expect(held).toBeGreaterThanOrEqual(13);
  }, 60_000);
});
