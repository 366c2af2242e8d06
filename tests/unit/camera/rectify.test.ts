import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { toBarPlane, type BarPlaneOptions } from '../../../shared-lib/camera/rectify.ts';
import { Failure } from '../../../shared-lib/contract/errors.ts';
import type { Trace } from '../../../shared-lib/contract/trace.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import { applySimilarity, invertSimilarity } from '../../../shared-lib/picture/similarity.ts';
import { filmPath, pathError, rimAt, widePath, type Camera } from './pinhole.ts';

const rad = Math.PI / 180;
const options: BarPlaneOptions = {
  discM: 0.45,
  discSigmaM: 0.001,
  facing: 'right',
  slowMotion: 1,
  slowMotionSource: 'none',
  seed: { ptsS: 0, xPx: 0, yPx: 0, source: 'found' },
};
const square: Camera = { distanceM: 3.5, focalPx: 1500, yawDeg: 0, pitchDeg: 0, rollDeg: 0 };
const errorM = (camera: Camera, o: Partial<BarPlaneOptions> = {}) => {
  const { plane } = toBarPlane(filmPath(camera, widePath), { ...options, ...o });
  return pathError(plane.xM, plane.yM, widePath);
};

describe('toBarPlane', () => {
  it('gives metres square on', () => {
    expect(errorM(square)).toBeLessThan(1e-6);
  });

  it('undoes up to 35 degrees of yaw, either way, to half a millimetre over a wide path', () => {
    for (const yawDeg of [-35, -20, 10, 25, 35]) expect(errorM({ ...square, yawDeg })).toBeLessThan(0.0005);
  });

  it('keeps verticals vertical when yaw and pitch come together, to a millimetre and a half', () => {
    for (const pitchDeg of [-8, 8])
      for (const yawDeg of [-20, 20]) expect(errorM({ ...square, yawDeg, pitchDeg })).toBeLessThan(0.0015);
  });

  it('takes out roll by the plumb line, and without one is wrong by the sine of it', () => {
    const plumb = [960 - 200 * Math.tan(3 * rad), 740, 960 + 200 * Math.tan(3 * rad), 340] as const;
    expect(errorM({ ...square, rollDeg: 3 }, { plumb })).toBeLessThan(1e-6);
    expect(errorM({ ...square, rollDeg: 3 })).toBeCloseTo(2 * 0.3 * Math.sin(1.5 * rad), 3);
    const { calibration } = toBarPlane(filmPath({ ...square, rollDeg: 3 }, widePath), { ...options, plumb });
    expect(calibration.rollRad / rad).toBeCloseTo(3, 6);
    expect(calibration.plumb).toBe('user');
  });

  it('reads the angle off square from the rim: minor over major is its cosine', () => {
    // acos(b / a) at 5, 10, 15, 20, 30 degrees: .9962 .9848 .9659 .9397 .8660.
    for (const [yawDeg, ratio] of [
      [10, 0.9848],
      [15, 0.9659],
      [20, 0.9397],
      [30, 0.866],
    ]) {
      const trace = filmPath({ ...square, distanceM: 50, focalPx: 21400, yawDeg }, widePath);
      expect(trace.rim.bPx / trace.rim.aPx).toBeCloseTo(ratio, 3);
      const { offSquareRad, offSquareSigmaRad } = toBarPlane(trace, options).calibration;
      expect(offSquareRad / rad).toBeCloseTo(yawDeg, 1);
      const ratioSigma = (ratio * Math.SQRT2 * 0.1) / trace.rim.aPx;
      const linear = ratioSigma / Math.sin(yawDeg * rad);
      expect(Math.abs(offSquareSigmaRad / linear - 1)).toBeLessThan(0.1);
    }
  });

  it('uses the circle of mean radius where the ratio is within two sigma of 1', () => {
    const trace = filmPath(square, widePath);
    trace.rim = { ...trace.rim, aPx: 100, bPx: 99.8, thetaRad: 0.3 };
    trace.rimSigma = { aPx: 0.2, bPx: 0.2 };
    const { calibration } = toBarPlane(trace, options);
    expect(calibration.offSquareRad).toBe(0);
    expect(calibration.metresPerPx).toBeCloseTo(0.225 / Math.sqrt(100 * 99.8), 9);
    expect(calibration.rimScaleSigma).toBeCloseTo(0.2 / 100 / Math.SQRT2, 5);
    // The ratio may be lower by one sigma: acos(.998 - .00283) = 5.63 degrees.
    expect(calibration.offSquareSigmaRad / rad).toBeCloseTo(5.63, 2);
  });

  it('makes a circle of radius half the disc from any rim', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 40, max: 200, noNaN: true }),
        fc.double({ min: 0.7, max: 1, noNaN: true }),
        fc.double({ min: -1.5, max: 1.5, noNaN: true }),
        fc.constantFrom<'left' | 'right'>('left', 'right'),
        (aPx, ratio, thetaRad, facing) => {
          const rim = { xPx: 500, yPx: 400, aPx, bPx: aPx * ratio, thetaRad };
          const trace = filmPath(square, widePath.slice(0, 16));
          trace.rim = rim;
          trace.rimSigma = { aPx: 1e-6, bPx: 1e-6 };
          trace.samples.forEach((s, k) => {
            const u = aPx * Math.cos((k * Math.PI) / 8);
            const v = rim.bPx * Math.sin((k * Math.PI) / 8);
            s.xPx = rim.xPx + u * Math.cos(thetaRad) - v * Math.sin(thetaRad);
            s.yPx = rim.yPx + u * Math.sin(thetaRad) + v * Math.cos(thetaRad);
            s.rimRadiusPx = NaN;
          });
          const { plane } = toBarPlane(trace, { ...options, facing });
          for (let k = 0; k < 16; k++) expect(Math.hypot(plane.xM[k], plane.yM[k])).toBeCloseTo(0.225, 6);
        },
      ),
      { numRuns: 50 },
    );
  });

  it('mirrors x, and nothing else, for a lifter who faces left', () => {
    const trace = filmPath({ ...square, yawDeg: 15, pitchDeg: 4 }, widePath);
    const right = toBarPlane(trace, options).plane;
    const left = toBarPlane(trace, { ...options, facing: 'left' }).plane;
    expect(Array.from(left.xM)).toEqual(Array.from(right.xM, (x) => -x));
    expect(left.yM).toEqual(right.yM);
    expect(left.sxM).toEqual(right.sxM);
  });

  it('is not fooled by noise in the rim size when the view is square', () => {
    const random = seededRandom(4);
    const trace = filmPath(square, widePath);
    for (const s of trace.samples) s.rimRadiusPx += 0.3 * random.normal();
    const { plane } = toBarPlane(trace, options);
    expect(pathError(plane.xM, plane.yM, widePath)).toBeLessThan(1e-6);
  });

  it('allows for nearness when it shows through noisy rim sizes', () => {
    const random = seededRandom(4);
    const camera = { ...square, yawDeg: 30 };
    const noisy = filmPath(camera, widePath);
    for (const s of noisy.samples) s.rimRadiusPx += 0.3 * random.normal();
    const unseen = filmPath(camera, widePath);
    for (const s of unseen.samples) s.rimRadiusPx = NaN;
    const error = (t: Trace) => {
      const { plane } = toBarPlane(t, options);
      return pathError(plane.xM, plane.yM, widePath);
    };
    expect(error(unseen)).toBeGreaterThan(0.0025);
    expect(error(noisy)).toBeLessThan(0.001);
  });

  it('takes the rim as seen from the place where the bar is most of the time, whatever size it was brought to', () => {
    // Stands at the top for longer than the rep lasts, so that the pooled rim shows the shape it has there.
    const top = widePath[0];
    const path = [...Array.from({ length: 100 }, () => top), ...widePath];
    // Yaw and pitch together twist the rim's height in a way that the one slope of its size does not follow: 0.8 %.
    const cases: [Camera, number][] = [
      [{ ...square, yawDeg: 30 }, 0.0005],
      [{ ...square, pitchDeg: 8 }, 0.0005],
      [{ ...square, yawDeg: 20, pitchDeg: 8 }, 0.006],
    ];
    for (const [camera, limitM] of cases) {
      const trace = filmPath(camera, path);
      const rim = rimAt(camera, ...top, 0.225);
      trace.rim = { ...rim, aPx: 1.01 * rim.aPx, bPx: 1.01 * rim.bPx };
      const { plane } = toBarPlane(trace, options);
      expect(pathError(plane.xM, plane.yM, path)).toBeLessThan(limitM);
    }
  });

  it('takes the camera out of position, rim size and spread', () => {
    const trace = filmPath({ ...square, yawDeg: 20 }, widePath);
    const still = toBarPlane(trace, options).plane;
    const shaken: Trace = {
      ...trace,
      samples: trace.samples.map((s, i) => {
        const camera = {
          scale: 1 + 0.01 * Math.sin(i),
          rotationRad: 0.02 * Math.cos(i),
          txPx: 9 * Math.sin(i / 3),
          tyPx: i / 5,
        };
        const [xPx, yPx] = applySimilarity(invertSimilarity(camera), s.xPx, s.yPx);
        return { ...s, camera, xPx, yPx, rimRadiusPx: s.rimRadiusPx / camera.scale };
      }),
    };
    const { plane } = toBarPlane(shaken, options);
    plane.xM.forEach((x, i) => {
      expect(x).toBeCloseTo(still.xM[i], 9);
      expect(plane.yM[i]).toBeCloseTo(still.yM[i], 9);
      expect(plane.sxM[i] / still.sxM[i]).toBeCloseTo(1 + 0.01 * Math.sin(i), 6);
    });
  });

  it('propagates covariances: Monte Carlo draws scatter as stated', () => {
    const camera = { ...square, yawDeg: 25, pitchDeg: 6 };
    const random = seededRandom(8);
    const trace = filmPath(camera, widePath.slice(0, 40));
    for (const s of trace.samples) {
      Object.assign(s, { varXPx2: 0.09, varYPx2: 0.25, covXYPx2: 0.1, rimRadiusPx: NaN });
    }
    const stated = toBarPlane(trace, options).plane;
    let x2 = 0;
    let y2 = 0;
    const draws = 4000;
    for (let k = 0; k < draws; k++) {
      const a = random.normal();
      const b = random.normal();
      const [s] = trace.samples;
      // A Cholesky factor of [.09 .1; .1 .25].
      const moved = {
        ...s,
        xPx: s.xPx + 0.3 * a,
        yPx: s.yPx + (0.1 / 0.3) * a + Math.sqrt(0.25 - 0.01 / 0.09) * b,
      };
      const { plane } = toBarPlane({ ...trace, samples: [moved] }, options);
      x2 += (plane.xM[0] - stated.xM[0]) ** 2 / draws;
      y2 += (plane.yM[0] - stated.yM[0]) ** 2 / draws;
    }
    // 4000 draws know a standard deviation to 1.1 %.
    expect(Math.sqrt(x2) / stated.sxM[0]).toBeCloseTo(1, 1);
    expect(Math.sqrt(y2) / stated.syM[0]).toBeCloseTo(1, 1);
  });

  it('turns file time into real time and keeps the state of every sample', () => {
    const trace = filmPath(square, widePath.slice(0, 4), 0.225, 30);
    trace.samples.forEach((s) => (s.ptsS += 7));
    trace.samples[1].state = 'bridged';
    Object.assign(trace.samples[2], { state: 'lost', xPx: NaN, yPx: NaN });
    const { plane } = toBarPlane(trace, { ...options, slowMotion: 8, slowMotionSource: 'tag' });
    plane.tS.forEach((t, i) => expect(t).toBeCloseTo(i / 240, 12));
    expect(Array.from(plane.state)).toEqual([0, 1, 2, 0]);
    expect(plane.xM[2]).toBeNaN();
    expect(plane.sxM[2]).toBeNaN();
    expect(plane.yM[3]).not.toBeNaN();
  });

  it('says what is wrong with a trace without a bar, a slow-motion factor of 0, a disc of 0', () => {
    const trace = filmPath(square, widePath);
    const lost: Trace = { ...trace, samples: trace.samples.map((s) => ({ ...s, state: 'lost' })) };
    expect(() => toBarPlane(lost, options)).toThrow(Failure);
    expect(() => toBarPlane({ ...trace, samples: [] }, options)).toThrow(/not found/);
    expect(() => toBarPlane(trace, { ...options, slowMotion: 0 })).toThrow(/slow-motion factor of 0/);
    expect(() => toBarPlane(trace, { ...options, discM: 0 })).toThrow(/0 m across/);
  });
});
