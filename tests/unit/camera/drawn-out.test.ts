import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  drawnApart,
  drawnOutBy,
  drawnRim,
  putBack,
  type DrawnOut,
} from '../../../shared-lib/camera/drawn-out.ts';
import { fitEllipse } from '../../../shared-lib/picture/ellipse-fit.ts';

const share = fc.double({ min: -0.05, max: 0.05, noNaN: true });
const anyWay = fc.record({ xx: share, xy: share, yx: share, yy: share });
const rim = { xPx: 300, yPx: 200, aPx: 90, bPx: 80, thetaRad: 0.4 };
const drawn = ({ xx, xy, yx, yy }: DrawnOut, x: number, y: number): [number, number] => [
  x + xx * x + xy * y,
  y + yx * x + yy * y,
];
/** Points of the rim about its centre. */
const points = Array.from({ length: 24 }, (_, k): [number, number] => {
  const [u, v] = [rim.aPx * Math.cos(k / 3.8), rim.bPx * Math.sin(k / 3.8)];
  const [cos, sin] = [Math.cos(rim.thetaRad), Math.sin(rim.thetaRad)];
  return [cos * u - sin * v, sin * u + cos * v];
});

const expectNear = (one: DrawnOut, other: DrawnOut): void =>
  expect(drawnApart(one, other)).toBeLessThan(1e-12);

describe('how a disc is drawn out while rows are read', () => {
  const phone = { widthPx: 1920, heightPx: 1080, rotationDeg: 0 as const };
  const surely = { s: 0.02, sigmaS: 0 };

  it('goes with how fast it moves and how long the rows take', () => {
    // 540 px a second are 10.8 px while all 1,080 rows are read: a hundredth of any height.
    expectNear(drawnOutBy(surely, phone, { x: 0, y: 540 }), { xx: 0, xy: 0, yx: 0, yy: 0.01 });
    expectNear(drawnOutBy(surely, phone, { x: 270, y: 0 }), { xx: 0, xy: 0.005, yx: 0, yy: 0 });
    // Upside down the lowest row comes first; on its side a disc that moves down is sheared.
    expect(drawnOutBy(surely, { ...phone, rotationDeg: 180 }, { x: 0, y: 540 }).yy).toBeCloseTo(-0.01, 12);
    const portrait = { widthPx: 1080, heightPx: 1920, rotationDeg: 90 as const };
    expectNear(drawnOutBy(surely, portrait, { x: 0, y: 540 }), { xx: 0, xy: 0, yx: -0.01, yy: 0 });
  });

  it('is taken for less by how little the read-out is known, and for nothing where it came out negative', () => {
    expect(drawnOutBy({ s: 0.02, sigmaS: 0.02 }, phone, { x: 0, y: 540 }).yy).toBeCloseTo(0.005, 12);
    expect(drawnOutBy({ s: -0.01, sigmaS: 0.002 }, phone, { x: 0, y: 540 }).yy).toBe(0);
  });

  it('is undone point by point', () => {
    fc.assert(
      fc.property(anyWay, (way) => {
        const out = points.map(([x, y]) => drawn(way, x, y));
        const back = putBack(
          {
            xPx: Float64Array.from(out, ([x]) => 300 + x + 2),
            yPx: Float64Array.from(out, ([, y]) => 200 + y - 1),
          },
          way,
          { xPx: 300, yPx: 200 },
          { right: 2, down: -1 },
        );
        points.forEach(([x, y], k) => {
          expect(back.xPx[k]).toBeCloseTo(300 + x, 9);
          expect(back.yPx[k]).toBeCloseTo(200 + y, 9);
        });
      }),
    );
  });

  it('makes another ellipse of a rim', () => {
    fc.assert(
      fc.property(anyWay, (way) => {
        const out = points.map(([x, y]) => drawn(way, x, y));
        const fitted = fitEllipse(
          out.map(([x]) => 300 + x),
          out.map(([, y]) => 200 + y),
        )!;
        const is = drawnRim(rim, way);
        expect(is.aPx).toBeCloseTo(fitted.aPx, 4);
        expect(is.bPx).toBeCloseTo(fitted.bPx, 4);
        expect(Math.abs(Math.sin(is.thetaRad - fitted.thetaRad))).toBeLessThan(1e-4);
      }),
    );
  });

  it('differs from another way by the greatest of its parts', () => {
    const one = { xx: 0.01, xy: 0, yx: -0.02, yy: 0 };
    expect(drawnApart(one, { ...one, yx: 0.01, yy: 0.02 })).toBeCloseTo(0.03, 12);
  });
});
