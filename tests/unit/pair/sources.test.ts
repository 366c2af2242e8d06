import { deviation, mean } from 'd3-array';
import { describe, expect, it } from 'vitest';
import { discUnmeasured } from '../../../shared-lib/camera/disc-size.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import {
  drawPairSources,
  drawSources,
  errorSources,
  sourceNames,
  type SourceName,
} from '../../../shared-lib/pair/sources.ts';
import { calibration, picture, timing } from './clips.ts';

const clip = { lift: 'squat', calibration, timing, picture } as const;
const table = errorSources(clip);
const n = 4000;

function correlation(name: SourceName, shared: { camera: boolean; disc: boolean }): number {
  const random = seededRandom(5);
  const pairs = Array.from({ length: n }, () =>
    drawPairSources(table, table, shared, random).map((draw) => draw[name]),
  );
  const [a, b] = [pairs.map((p) => p[0]), pairs.map((p) => p[1])];
  const [ma, mb] = [mean(a)!, mean(b)!];
  return a.reduce((s, x, i) => s + (x - ma) * (b[i] - mb), 0) / (n - 1) / deviation(a)! / deviation(b)!;
}

describe('errorSources', () => {
  it('names where each width comes from', () => {
    for (const name of sourceNames) expect(table[name].basis.length).toBeGreaterThan(10);
  });

  it('takes the widths of disc, rim, roll and angle from the calibration', () => {
    expect(table.discDiameter.width).toBeCloseTo(0.0046 / 0.45, 12);
    // An edge is found within 0.3 px, one sigma, beside what the fit states.
    const edge = (0.3 * calibration.metresPerPx) / (calibration.discM / 2);
    expect(table.rimScale.width).toBeCloseTo(Math.hypot(calibration.rimScaleSigma, edge), 12);
    expect(table.rollRad.width).toBe(calibration.rollSigmaRad);
    expect(table.offSquareRad.width).toBe(calibration.offSquareSigmaRad);
  });

  it('draws an unmeasured gym disc about its usual size, which two such discs share', () => {
    const unmeasured = errorSources({ ...clip, calibration: { ...calibration, ...discUnmeasured } });
    expect(unmeasured.discDiameter.centre * 450).toBeCloseTo(-5, 9);
    expect(unmeasured.discDiameter.width * 450).toBeCloseTo(8 / Math.sqrt(3), 9);
  });

  it('lets no read-out last longer than a frame, in real time', () => {
    const readOut = (medianIntervalS: number, slowMotion: number) => {
      const { centre, width } = errorSources({
        ...clip,
        calibration: { ...calibration, slowMotion },
        timing: { ...timing, medianIntervalS },
      }).readOutS;
      return [centre - width, centre + width];
    };
    expect(readOut(1 / 30, 1)[0]).toBeCloseTo(0.005, 12);
    expect(readOut(1 / 30, 1)[1]).toBeCloseTo(0.03, 12);
    expect(readOut(1 / 30, 8)[1]).toBeCloseTo(1 / 240, 12);
    expect(readOut(1 / 30, 8)[0]).toBeCloseTo(1 / 480, 12);
  });

  it('counts duplicated frames into the frame times', () => {
    const none = table.frameTimeS.width;
    const some = errorSources({ ...clip, timing: { ...timing, duplicatedFrames: 30 } }).frameTimeS.width;
    expect(none).toBeCloseTo(0.00029, 5);
    // A tenth of the pictures one frame late at 60 a second.
    expect(some).toBeCloseTo(Math.hypot(none, Math.sqrt(0.1) / 60), 10);
  });
});

describe('drawing sources', () => {
  it('keeps each width: one sigma of normals, the half width of rectangular ones', () => {
    const random = seededRandom(3);
    const draws = Array.from({ length: n }, () => drawSources(table, random));
    for (const name of sourceNames) {
      const { centre, width, distribution } = table[name];
      const values = draws.map((d) => d[name]);
      const sigma = distribution === 'normal' ? width : width / Math.sqrt(3);
      expect(Math.abs(mean(values)! - centre)).toBeLessThanOrEqual((4 * sigma) / Math.sqrt(n));
      expect(Math.abs(deviation(values)! - sigma)).toBeLessThanOrEqual(0.05 * sigma);
    }
  });

  it('draws the camera once for both reps when it has not moved, and the disc when it is the same', () => {
    expect(correlation('rollRad', { camera: true, disc: false })).toBeCloseTo(1, 10);
    expect(correlation('readOutS', { camera: true, disc: false })).toBeCloseTo(1, 10);
    expect(correlation('discDiameter', { camera: false, disc: true })).toBeCloseTo(1, 10);
    expect(Math.abs(correlation('rollRad', { camera: false, disc: true }))).toBeLessThan(0.06);
    expect(Math.abs(correlation('discDiameter', { camera: true, disc: false }))).toBeLessThan(0.06);
  });

  it('shares the rim fit by half, and never the choice of smoothing or the lifter’s sideways travel', () => {
    const both = { camera: true, disc: true };
    expect(Math.abs(correlation('rimScale', both) - 0.5)).toBeLessThan(0.06);
    expect(Math.abs(correlation('smoothing', both))).toBeLessThan(0.06);
    expect(Math.abs(correlation('sidewaysTravelM', both))).toBeLessThan(0.06);
    expect(Math.abs(correlation('runOutPhaseRad', both))).toBeLessThan(0.06);
  });

  it('scales a shared error by each clip’s own width', () => {
    const surer = errorSources({
      ...clip,
      calibration: { ...calibration, rollSigmaRad: calibration.rollSigmaRad / 4 },
    });
    const [a, b] = drawPairSources(table, surer, { camera: true, disc: true }, seededRandom(1));
    expect(b.rollRad).toBeCloseTo(a.rollRad / 4, 12);
  });

  it('takes one angle off square for a camera that stood still, from the clip that tells it more surely', () => {
    const sure = errorSources({
      ...clip,
      calibration: { ...calibration, offSquareRad: 0.2, offSquareSigmaRad: 0.01 },
    });
    const unsure = errorSources({
      ...clip,
      calibration: { ...calibration, offSquareRad: 0.35, offSquareSigmaRad: 0.3 },
    });
    const random = seededRandom(3);
    for (const pair of [
      [sure, unsure],
      [unsure, sure],
    ] as const) {
      const draws = Array.from({ length: 500 }, () =>
        drawPairSources(pair[0], pair[1], { camera: true, disc: true }, random),
      );
      const angles = draws.map(([a]) => pair[0].offSquareRad.measured! + a.offSquareRad);
      draws.forEach(([, b], i) =>
        expect(pair[1].offSquareRad.measured! + b.offSquareRad).toBeCloseTo(angles[i], 12),
      );
      expect(mean(angles)).toBeCloseTo(0.2, 2);
      expect(deviation(angles)).toBeCloseTo(0.01, 2);
    }
  });
});
