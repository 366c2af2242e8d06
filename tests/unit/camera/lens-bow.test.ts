import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { lensBow, straightened, unbent } from '../../../shared-lib/camera/lens-bow.ts';
import type { UprightEdge } from '../../../shared-lib/contract/trace.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';

const picture = { widthPx: 1920, heightPx: 1080 };
const unit = 960;
const cx = 959.5;
const cy = 539.5;

/** Where a lens shows a point of the straight picture, to the letter of its model. */
function bent(kappa: number, x: number, y: number): [number, number] {
  const [u, v] = [(x - cx) / unit, (y - cy) / unit];
  const k = 1 + kappa * (u * u + v * v);
  return [cx + k * u * unit, cy + k * v * unit];
}

/** An upright of the straight picture as it is seen, with noise: its chord's lean and the height of its arc. */
function seen(kappa: number, x: number, y: number, lengthPx: number, noise: number): UprightEdge {
  const [top, middle, bottom] = [-1, 0, 1].map((u) => bent(kappa, x, y + (u * lengthPx) / 2));
  return {
    xPx: (top[0] + bottom[0] + 4 * middle[0]) / 6,
    yPx: y,
    lengthPx,
    leanRad: -Math.atan((bottom[0] - top[0]) / (bottom[1] - top[1])),
    leanSigmaRad: 0.0005,
    // The parabola bow (1/3 - u²) lies at 1/3 of it in the middle and at -2/3 at the ends.
    bowPx: middle[0] - (top[0] + bottom[0]) / 2 + noise,
    bowSigmaPx: 0.1,
  };
}

const places = [120, 300, 520, 760, 1150, 1400, 1600, 1800];
const edgesOf = (kappa: number, sigma: number, seed = 1): UprightEdge[] => {
  const random = seededRandom(seed);
  return places.map((x, i) => seen(kappa, x, 300 + 60 * i, 350, sigma * random.normal()));
};

describe('lensBow', () => {
  it('finds how much a lens bends, either way, within three of its sigmas', () => {
    for (const kappa of [-0.08, -0.03, 0.03, 0.06]) {
      const bow = lensBow(edgesOf(kappa, 0.1), picture)!;
      expect(Math.abs(bow.kappa - kappa)).toBeLessThan(Math.max(3 * bow.sigma, 0.05 * Math.abs(kappa)));
      expect(bow.sigma).toBeLessThan(0.01);
    }
  });

  it('says nothing of a straight lens: not in one of 200 drawn pictures', () => {
    const found = Array.from({ length: 200 }, (_, i) => lensBow(edgesOf(0, 0.1, i + 1), picture));
    expect(found.filter((bow) => bow !== null)).toEqual([]);
  });

  it('is not led astray by a bent thing, and needs four edges', () => {
    const edges = edgesOf(-0.06, 0.05);
    const withBent = edges.concat({ ...seen(0, 1500, 500, 350, 0), bowPx: 9 });
    expect(lensBow(withBent, picture)!.kappa).toBeCloseTo(-0.06, 2);
    expect(lensBow(edges.slice(0, 3), picture)).toBeNull();
  });
});

describe('straightened', () => {
  it('takes back what the lens does to a point', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -0.1, max: 0.1, noNaN: true }),
        fc.double({ min: 0, max: 1919, noNaN: true }),
        fc.double({ min: 0, max: 1079, noNaN: true }),
        (kappa, x, y) => {
          const [u, v] = straightened({ kappa, sigma: 0 }, picture, ...bent(kappa, x, y));
          expect(Math.hypot(u - x, v - y)).toBeLessThan(0.05);
        },
      ),
    );
    expect(straightened(undefined, picture, 7, 9)).toEqual([7, 9]);
  });

  it('sets uprights upright again, to a tenth of a degree', () => {
    for (const edge of edgesOf(-0.06, 0))
      expect(Math.abs(unbent(edge, { kappa: -0.06, sigma: 0 }, picture).leanRad)).toBeLessThan(0.0018);
  });
});
