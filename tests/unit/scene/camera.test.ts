import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { makeCamera, project, projectCircle, rayOf } from '../../../demo-data/scene/camera.ts';
import { add, scale, type Vec3 } from '../../../demo-data/scene/vec.ts';
import { tripod } from './tripod.ts';

const anyCamera = fc.record({
  xM: fc.double({ min: -2, max: 2, noNaN: true }),
  yM: fc.double({ min: 0.3, max: 1.8, noNaN: true }),
  zM: fc.double({ min: 2.5, max: 5, noNaN: true }),
  panRad: fc.double({ min: -0.5, max: 0.5, noNaN: true }),
  tiltRad: fc.double({ min: -0.2, max: 0.2, noNaN: true }),
  rollRad: fc.double({ min: -0.1, max: 0.1, noNaN: true }),
  focalPx: fc.constant(1000),
  shakePx: fc.constant(0),
  sweepPanRad: fc.constant(0),
  sweepTiltRad: fc.constant(0),
  zoomDrift: fc.constant(0),
  lensK1: fc.constant(0),
  lensK2: fc.constant(0),
});

describe('the pinhole camera', () => {
  it('puts a point at focal length times offset over depth from the centre', () => {
    const camera = makeCamera(tripod, 1281, 721);
    expect(project(camera, [0.35, 1.7, 0])).toEqual({ xPx: 640 + 100, yPx: 360 - 200 });
  });

  it('leans true up to the right when its roll is positive', () => {
    const camera = makeCamera({ ...tripod, rollRad: 0.1 }, 1281, 721);
    const low = project(camera, [0, 1, 0]);
    const high = project(camera, [0, 1.5, 0]);
    expect(Math.atan2(high.xPx - low.xPx, low.yPx - high.yPx)).toBeCloseTo(0.1, 12);
  });

  it('moves the picture to the left when it pans to the right', () => {
    expect(project(makeCamera({ ...tripod, panRad: 0.1 }, 1281, 721), [0, 1, 0]).xPx).toBeCloseTo(
      640 - 1000 * Math.tan(0.1),
      9,
    );
  });

  it('casts the ray of a pixel through every point that the pixel pictures', () => {
    fc.assert(
      fc.property(
        anyCamera,
        fc.double({ min: 0, max: 1280, noNaN: true }),
        fc.double({ min: 0, max: 720, noNaN: true }),
        fc.double({ min: 1, max: 6, noNaN: true }),
        (spec, x, y, t) => {
          const camera = makeCamera(spec, 1281, 721);
          const back = project(camera, add(camera.at, scale(rayOf(camera, x, y), t)));
          expect(back.xPx).toBeCloseTo(x, 8);
          expect(back.yPx).toBeCloseTo(y, 8);
        },
      ),
    );
  });

  it('pictures a circle as the ellipse on which its points lie', () => {
    fc.assert(
      fc.property(anyCamera, fc.double({ min: 0, max: 6.28, noNaN: true }), (spec, angle) => {
        const camera = makeCamera(spec, 1281, 721);
        const centre: Vec3 = [0.1, 0.9, 0];
        const rim = projectCircle(camera, centre, [1, 0, 0], [0, 1, 0], 0.225);
        const p = project(camera, add(centre, [0.225 * Math.cos(angle), 0.225 * Math.sin(angle), 0]));
        const dx = p.xPx - rim.xPx;
        const dy = p.yPx - rim.yPx;
        const along = dx * Math.cos(rim.thetaRad) + dy * Math.sin(rim.thetaRad);
        const across = dy * Math.cos(rim.thetaRad) - dx * Math.sin(rim.thetaRad);
        expect((along / rim.aPx) ** 2 + (across / rim.bPx) ** 2).toBeCloseTo(1, 7);
        expect(rim.aPx).toBeGreaterThanOrEqual(rim.bPx);
      }),
    );
  });

  it('sees a circle square-on as a circle of focal length times radius over depth', () => {
    const rim = projectCircle(makeCamera(tripod, 1281, 721), [0.2, 1.1, 0], [1, 0, 0], [0, 1, 0], 0.225);
    expect(rim.aPx).toBeCloseTo((1000 * 0.225) / 3.5, 6);
    expect(rim.bPx).toBeCloseTo(rim.aPx, 6);
  });
});
