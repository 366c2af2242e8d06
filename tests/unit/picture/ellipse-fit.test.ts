import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { fitEllipse } from '../../../shared-lib/picture/ellipse-fit.ts';

describe('fitEllipse', () => {
  it('fits the eight points of Gander, Golub & Strebel 1994 as the Halir-Flusser method does', () => {
    // Points: BIT 34:558-578. Expected: direct least squares in the partitioning of Halir & Flusser 1998, recomputed.
    const rim = fitEllipse([1, 2, 5, 7, 9, 3, 6, 8], [7, 6, 8, 7, 5, 7, 2, 4])!;
    expect(rim.xPx).toBeCloseTo(5.0639, 4);
    expect(rim.yPx).toBeCloseTo(5.0698, 4);
    expect(rim.aPx).toBeCloseTo(3.7757, 4);
    expect(rim.bPx).toBeCloseTo(2.6423, 4);
    expect(rim.thetaRad).toBeCloseTo(-0.3861, 4);
  });

  it('returns the ellipse that its points lie on, wherever it lies', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -2000, max: 2000, noNaN: true }),
        fc.double({ min: -2000, max: 2000, noNaN: true }),
        fc.double({ min: 20, max: 400, noNaN: true }),
        fc.double({ min: 0.5, max: 0.95, noNaN: true }),
        fc.double({ min: -1.5, max: 1.5, noNaN: true }),
        (x, y, a, ratio, theta) => {
          const xs: number[] = [];
          const ys: number[] = [];
          for (let k = 0; k < 40; k++) {
            const u = a * Math.cos(k * 0.157);
            const v = a * ratio * Math.sin(k * 0.157);
            xs.push(x + Math.cos(theta) * u - Math.sin(theta) * v);
            ys.push(y + Math.sin(theta) * u + Math.cos(theta) * v);
          }
          const rim = fitEllipse(xs, ys)!;
          expect(Math.hypot(rim.xPx - x, rim.yPx - y)).toBeLessThan(1e-5 * a);
          expect(rim.aPx / a).toBeCloseTo(1, 6);
          expect(rim.bPx / (a * ratio)).toBeCloseTo(1, 6);
          expect(Math.abs(Math.sin(rim.thetaRad - theta))).toBeLessThan(1e-4);
        },
      ),
    );
  });

  it('has no answer for fewer than five points or points on a line', () => {
    expect(fitEllipse([0, 1, 2, 3], [0, 1, 0, 1])).toBeNull();
    expect(fitEllipse([0, 1, 2, 3, 4, 5], [0, 1, 2, 3, 4, 5])).toBeNull();
  });
});
