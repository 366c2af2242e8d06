import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  likelyReadOut,
  readingShare,
  readOutOf,
  type RimShape,
} from '../../../shared-lib/camera/read-out.ts';
import { toBarPlane } from '../../../shared-lib/camera/rectify.ts';
import { stillCamera, type Trace } from '../../../shared-lib/contract/trace.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import { fitEllipse } from '../../../shared-lib/picture/ellipse-fit.ts';
import { uprightness } from '../../../shared-lib/trace/pooled-rim.ts';

/** A disc 60 px in radius that goes down and up by 300 px in 3 s and stands before and after. */
const heightAt = (tS: number): number => {
  const s = Math.min(Math.max((tS - 0.5) / 3, 0), 1);
  return 350 - 150 * Math.cos(2 * Math.PI * s);
};
const radiusPx = 60;
const turns = [0, 90, 180, 270] as const;
type Turn = (typeof turns)[number];
const pictureOf = (rotationDeg: Turn) =>
  rotationDeg % 180 === 0
    ? ({ widthPx: 1280, heightPx: 720, rotationDeg } as const)
    : ({ widthPx: 720, heightPx: 1280, rotationDeg } as const);

/** The sensor's row, from 0 to 1, that reads a displayed place: its rows run down the picture before it is turned. */
function rowAt(turn: Turn, xPx: number, yPx: number): number {
  const { widthPx, heightPx } = pictureOf(turn);
  const [x, y] = [xPx / (widthPx - 1), yPx / (heightPx - 1)];
  return { 0: y, 90: 1 - x, 180: 1 - y, 270: x }[turn];
}

/** Where a point of the rim, or the centre, appears: at the place that it has reached when that place's row is read. */
function seenAt(
  turn: Turn,
  readOutS: number,
  tS: number,
  dxPx: number,
  dyPx: number,
): { x: number; y: number } {
  const x = 400 + dxPx;
  let y = heightAt(tS) + dyPx;
  for (let k = 0; k < 20; k++) y = heightAt(tS + readOutS * (rowAt(turn, x, y) - 0.5)) + dyPx;
  return { x, y };
}

function film(turn: Turn, readOutS: number, noise: number, seed = 1): RimShape[] {
  const random = seededRandom(seed);
  return Array.from({ length: 120 }, (_, i) => {
    const tS = i / 30;
    const rim = Array.from({ length: 24 }, (__, k) => {
      const angle = (2 * Math.PI * k) / 24;
      return seenAt(turn, readOutS, tS, radiusPx * Math.cos(angle), radiusPx * Math.sin(angle));
    });
    const { tall, skew } = uprightness(
      fitEllipse(
        rim.map((p) => p.x),
        rim.map((p) => p.y),
      )!,
    );
    return {
      tS,
      yPx: seenAt(turn, readOutS, tS, 0, 0).y,
      tall: tall + noise * random.normal(),
      skew: skew + noise * random.normal(),
    };
  });
}

describe('the time a camera takes to read its rows', () => {
  it('is told from the moving rim, to 2 % where nothing else changes its shape, whichever way the picture is turned', () => {
    for (const turn of turns) {
      const found = readOutOf(film(turn, 0.02, 0), pictureOf(turn))!;
      expect(Math.abs(found.s / 0.02 - 1)).toBeLessThan(0.02);
    }
  });

  it('is within four sigmas of the truth under noise, blur and a shape that changes along the path', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 0.033, noNaN: true }),
        fc.constantFrom(...turns),
        fc.integer({ min: 1, max: 1e6 }),
        (readOutS, turn, seed) => {
          const shapes = film(turn, readOutS, 0.0015, seed).map((shape, i, all) => {
            const before = all[Math.max(0, i - 1)];
            const speed = Math.abs(shape.yPx - before.yPx) / 720;
            const other = 0.05 + 0.03 * (shape.yPx / 720) ** 2 + 0.1 * speed;
            return { ...shape, tall: shape.tall + other, skew: shape.skew + other };
          });
          const found = readOutOf(shapes, pictureOf(turn))!;
          expect(Math.abs(found.s - readOutS)).toBeLessThan(4 * found.sigmaS);
          expect(found.sigmaS).toBeLessThan(0.006);
        },
      ),
      { numRuns: 30 },
    );
  });

  it('is not told by pictures without a rim, nor by too few', () => {
    const shapes = film(0, 0.02, 0.001);
    expect(
      readOutOf(
        shapes.map((s) => ({ ...s, tall: NaN })),
        pictureOf(0),
      ),
    ).toBeNull();
    expect(readOutOf(shapes.slice(0, 15), pictureOf(0))).toBeNull();
  });

  it('counts little beside what phones take where the disc is hardly seen to move', () => {
    const vague = likelyReadOut({ s: 0.2, sigmaS: 0.1 }, 1, 1 / 30);
    expect(vague.s).toBeCloseTo(0.0175, 2);
    expect(vague.sigmaS).toBeCloseTo(0.025 / Math.sqrt(12), 3);
    expect(likelyReadOut({ s: 0.012, sigmaS: 0.0005 }, 1, 1 / 30).s).toBeCloseTo(0.012, 4);
    // In a clip slowed down four times, and never longer than the frame.
    expect(likelyReadOut({ s: 0.02, sigmaS: 0.0004 }, 4, 1 / 120).s).toBeCloseTo(0.005, 4);
    expect(likelyReadOut({ s: 0.2, sigmaS: 0.0004 }, 1, 1 / 60).s).toBeCloseTo(1 / 60, 9);
  });

  it('is read from the first row to the last by as much as one read-out time', () => {
    for (const turn of turns) {
      const { widthPx, heightPx } = pictureOf(turn);
      const share = readingShare(pictureOf(turn));
      const corners = [
        share(0, 0),
        share(widthPx - 1, 0),
        share(0, heightPx - 1),
        share(widthPx - 1, heightPx - 1),
      ];
      expect(Math.min(...corners)).toBeCloseTo(-0.5, 12);
      expect(Math.max(...corners)).toBeCloseTo(0.5, 12);
      for (const [x, y] of [[100, 200] as const, [500, 700] as const])
        expect(share(x, y)).toBeCloseTo(rowAt(turn, x, y) - 0.5, 9);
    }
  });
});

describe('a trace with a known read-out', () => {
  it('has the bar where it was, when it was there', () => {
    const readOutS = 0.02;
    const samples = Array.from({ length: 120 }, (_, frame) => {
      const { x, y } = seenAt(0, readOutS, frame / 30, 0, 0);
      return {
        frame,
        ptsS: frame / 30,
        xPx: x,
        yPx: y,
        varXPx2: 0.01,
        varYPx2: 0.01,
        covXYPx2: 0,
        rimRadiusPx: radiusPx,
        confidence: 1,
        state: 'seen' as const,
        camera: stillCamera,
      };
    });
    const trace: Trace = {
      samples,
      rim: { xPx: 400, yPx: 350, aPx: radiusPx, bPx: radiusPx, thetaRad: 0 },
      rimSigma: { aPx: 0.1, bPx: 0.1 },
      readOut: { s: readOutS, sigmaS: 1e-6 },
    };
    const { plane, calibration } = toBarPlane(trace, {
      discM: 0.45,
      discSigmaM: 0.001,
      picture: pictureOf(0),
      facing: 'right',
      slowMotion: 1,
      slowMotionSource: 'none',
      seed: { ptsS: 0, xPx: 400, yPx: 350, source: 'user' },
    });
    expect(calibration.readOut!.s).toBeCloseTo(readOutS, 6);
    const mPerPx = 0.45 / (2 * radiusPx);
    const offset = plane.yM[0] + mPerPx * heightAt(plane.tS[0]);
    plane.tS.forEach((tS, i) => expect(plane.yM[i]).toBeCloseTo(offset - mPerPx * heightAt(tS), 6));
  });
});
