import { describe, expect, it } from 'vitest';
import { discSaid } from '../../../shared-lib/camera/disc-size.ts';
import { uprightFor } from '../../../shared-lib/camera/plumb.ts';
import { toBarPlane, type BarPlaneOptions } from '../../../shared-lib/camera/rectify.ts';
import { withStatedRim } from '../../../shared-lib/camera/stated-rim.ts';
import { filmPath, rimAt, widePath, type Camera } from './pinhole.ts';

const picture = { widthPx: 1920, heightPx: 1080 };
const options: BarPlaneOptions = {
  discM: 0.45,
  discSigmaM: 0.001,
  facing: 'right',
  slowMotion: 1,
  slowMotionSource: 'none',
  seed: { ptsS: 0, xPx: 0, yPx: 0, source: 'found' },
};
const camera: Camera = { distanceM: 3.5, focalPx: 1500, yawDeg: 0, pitchDeg: 0, rollDeg: 0 };

describe('withStatedRim', () => {
  const trace = filmPath(camera, widePath);
  const frame = 5;
  const own = rimAt(camera, ...widePath[frame], 0.225);
  const stated = (times: number) => ({
    ...own,
    ptsS: trace.samples[frame].ptsS,
    aPx: own.aPx * times,
    bPx: own.bPx * times,
  });

  it('changes nothing but the uncertainty where the drawn rim is the one that was found', () => {
    const before = toBarPlane(trace, options).calibration;
    const after = toBarPlane(withStatedRim(trace, stated(1), picture), options).calibration;
    expect(after.metresPerPx / before.metresPerPx).toBeCloseTo(1, 3);
    // 0.7 px and 0.3 % of a radius of 96 px, two edges an axis: 0.56 % of it.
    expect(after.rimScaleSigma).toBeGreaterThan(0.0035);
    expect(after.rimScaleSigma).toBeLessThan(0.008);
  });

  it('makes a metre larger by as much as the rim was drawn larger', () => {
    const before = toBarPlane(trace, options);
    const after = toBarPlane(withStatedRim(trace, stated(1.04), picture), options);
    expect(before.calibration.metresPerPx / after.calibration.metresPerPx).toBeCloseTo(1.04, 3);
    const span = ({ plane }: typeof before) => Math.max(...plane.yM) - Math.min(...plane.yM);
    expect(span(before) / span(after)).toBeCloseTo(1.04, 3);
  });

  it('brings a camera of known pose nearer by as much, and keeps its angles', () => {
    const pose = {
      focalPx: 1500,
      cxPx: 959.5,
      cyPx: 539.5,
      normal: [0, 0, -1] as const,
      distanceRadii: 3.5 / 0.225,
      thicknessRadii: 0.2,
      rings: [],
      sigma: { logFocal: 0.05, yawRad: 0.01, offSquareRad: 0.01, pitchRad: 0.01, size: 0.002 },
      offset: { dxPx: 0, dyPx: 0 },
      sideMargin: 5,
    };
    const posed = { ...trace, pose };
    const before = toBarPlane(posed, options).calibration;
    const after = toBarPlane(withStatedRim(posed, stated(1.03), picture), options).calibration;
    expect(before.metresPerPx / after.metresPerPx).toBeCloseTo(1.03, 3);
    expect(after.offSquareRad).toBeCloseTo(before.offSquareRad, 6);
    expect(after.camera!.distanceM / before.camera!.distanceM).toBeCloseTo(1 / 1.03, 3);
  });

  it('tells an angle where a flatter rim was drawn', () => {
    const flat = { ...stated(1), bPx: own.bPx * Math.cos(0.3), thetaRad: Math.PI / 2 };
    const { offSquareRad } = toBarPlane(withStatedRim(trace, flat, picture), options).calibration;
    expect(offSquareRad).toBeCloseTo(0.3, 2);
  });

  it('refuses the rim of another disc', () => {
    expect(() => withStatedRim(trace, stated(2.2), picture)).toThrow(/not that of the disc/);
  });
});

describe('uprightFor', () => {
  const edge = { bowPx: 0, bowSigmaPx: 1, leanSigmaRad: 0.002 };
  it('offers the longest edge that stands as up was taken, by its ends', () => {
    const uprights = [
      { ...edge, xPx: 100, yPx: 300, lengthPx: 200, leanRad: 0.01 },
      { ...edge, xPx: 500, yPx: 300, lengthPx: 400, leanRad: 0.02 },
      { ...edge, xPx: 900, yPx: 300, lengthPx: 500, leanRad: 0.2 },
    ];
    const line = uprightFor({ uprights }, 0.015)!;
    expect(line.map((v) => Number(v.toFixed(2)))).toEqual([504, 100.04, 496, 499.96]);
    expect(uprightFor({ uprights }, -0.1)).toBeNull();
  });
});

describe('discSaid', () => {
  it('is as sure as what is known of the disc', () => {
    const sigmaMm = (discKnown: 'measured' | 'rule' | 'usual', discMm: number | null) =>
      Number((1000 * discSaid({ discMm, discKnown }).discSigmaM).toFixed(2));
    expect(sigmaMm('measured', null)).toBe(6.81);
    expect(sigmaMm('measured', 448)).toBe(1.15);
    expect(sigmaMm('rule', 450)).toBe(0.58);
    expect(sigmaMm('usual', 400)).toBe(5.77);
  });
});
