import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { stillCamera, type Trace, type TraceSample } from '../../../shared-lib/contract/trace.ts';
import { chooseDisc, type FollowedDisc } from '../../../shared-lib/trace/choose-trace.ts';
import { correctMotion, predictMotion, startMotion } from '../../../shared-lib/trace/disc-motion.ts';
import { duplicatedFrames } from '../../../shared-lib/trace/duplicated-frames.ts';
import { fusePositions } from '../../../shared-lib/trace/fuse-positions.ts';
import { blendedShape, pooledRim } from '../../../shared-lib/trace/pooled-rim.ts';

const positive = fc.double({ min: 0.01, max: 9, noNaN: true });
const anywhere = fc.double({ min: -500, max: 500, noNaN: true });

describe('fusePositions', () => {
  it('weights by the inverse variances', () => {
    const one = { xPx: 10, yPx: 0, varXPx2: 1, varYPx2: 4, covXYPx2: 0 };
    const other = { xPx: 14, yPx: 10, varXPx2: 3, varYPx2: 1, covXYPx2: 0 };
    const fused = fusePositions(one, other);
    expect([fused.xPx, fused.yPx, fused.varXPx2, fused.varYPx2].map((v) => Number(v.toFixed(9)))).toEqual([
      11, 8, 0.75, 0.8,
    ]);
  });

  it('does not depend on the order and never knows less than either', () => {
    const position = fc.record({
      xPx: anywhere,
      yPx: anywhere,
      varXPx2: positive,
      varYPx2: positive,
      covXYPx2: fc.constant(0),
    });
    fc.assert(
      fc.property(position, position, (a, b) => {
        const ab = fusePositions(a, b);
        const ba = fusePositions(b, a);
        expect(ab.xPx).toBeCloseTo(ba.xPx, 6);
        expect(ab.varXPx2).toBeLessThanOrEqual(Math.min(a.varXPx2, b.varXPx2) + 1e-9);
        expect(ab.varYPx2).toBeLessThanOrEqual(Math.min(a.varYPx2, b.varYPx2) + 1e-9);
      }),
    );
  });
});

describe('disc motion', () => {
  it('predicts a steady motion and grows unsure without measurements', () => {
    let motion = startMotion(0, 100, 200, 400);
    for (let k = 1; k <= 30; k++) {
      motion = correctMotion(predictMotion(motion, k / 30, 400), 100 + 3 * k, 200 - 2 * k, 0.01);
    }
    const next = predictMotion(motion, 31 / 30, 400);
    expect(next.xPx).toBeCloseTo(193, 1);
    expect(next.yPx).toBeCloseTo(138, 1);
    expect(predictMotion(next, 40 / 30, 400).ppPx2).toBeGreaterThan(4 * next.ppPx2);
  });
});

const sample = (frame: number, xPx: number, yPx: number): TraceSample => ({
  frame,
  ptsS: frame / 30,
  xPx,
  yPx,
  varXPx2: 0.01,
  varYPx2: 0.01,
  covXYPx2: 0,
  rimRadiusPx: 50,
  confidence: 1,
  state: 'seen',
  camera: stillCamera,
});
const rim = { xPx: 0, yPx: 0, aPx: 50, bPx: 50, thetaRad: 0 };

describe('duplicatedFrames', () => {
  it('counts repeats while the bar moves, and none while it rests', () => {
    const y = [0, 5, 10, 10, 20, 25, 25, 35, 40, 40, 40, 40, 40, 40];
    const trace: Trace = { samples: y.map((v, k) => sample(k, 0, v)), rim, rimSigma: { aPx: 1, bPx: 1 } };
    expect(duplicatedFrames(trace)).toBe(2);
  });
});

describe('chooseDisc', () => {
  const disc = (aPx: number, travelPx: number, rimShare: number, atPx = 0): FollowedDisc => ({
    rim: { ...rim, aPx, bPx: aPx },
    measurements: Array.from({ length: 60 }, (_, k) => ({
      tS: k / 30,
      xPx: atPx,
      yPx: (travelPx / 2) * (1 - Math.cos(k / 9.5)),
      varXPx2: 1,
      varYPx2: 1,
      covXYPx2: 0,
      confidence: rimShare,
      radiusPx: aPx,
      rim: null,
      rimShare,
    })),
  });

  it('takes the near end’s disc, not the far end’s, nor a larger one that stands on a rack', () => {
    const near = disc(80, 120, 0.9);
    expect(chooseDisc([disc(55, 80, 0.95, 40), near, disc(110, 0, 1, 400)])).toBe(near);
  });

  it('takes the rim, not a plainer ring on its face', () => {
    const outer = disc(80, 120, 0.5);
    expect(chooseDisc([disc(57, 120, 0.98), outer])).toBe(outer);
  });

  it('takes nothing where nothing travels', () => {
    expect(chooseDisc([disc(80, 10, 1)])).toBeNull();
    expect(chooseDisc([])).toBeNull();
  });
});

describe('pooledRim', () => {
  it('is the median shape, whichever way the axes of nearly round rims point', () => {
    const rims = Array.from({ length: 21 }, (_, k) => ({
      rim: {
        xPx: 3,
        yPx: 4,
        aPx: 60 + 0.1 * ((k % 5) - 2),
        bPx: 55 + 0.1 * ((k % 3) - 1),
        thetaRad: k % 2 ? 1.5 : -1.6 + Math.PI,
      },
    }));
    const { rim: pooled, sigma } = pooledRim(rims, rim);
    expect(pooled.aPx).toBeCloseTo(60, 0);
    expect(pooled.bPx).toBeCloseTo(55, 0);
    expect(Math.abs(Math.sin(pooled.thetaRad))).toBeGreaterThan(0.99);
    expect(sigma.aPx).toBeGreaterThanOrEqual(0.25);
    expect(sigma.aPx).toBeLessThan(0.4);
  });

  it('falls back on the rim that was found, less surely', () => {
    expect(pooledRim([], rim)).toEqual({ rim, sigma: { aPx: 0.5, bPx: 0.5 } });
  });

  it('blends shapes from one end to the other', () => {
    const to = { ...rim, aPx: 60, bPx: 40, thetaRad: 0.3 };
    expect(blendedShape(rim, to, 1)).toMatchObject({
      aPx: expect.closeTo(60, 9) as number,
      bPx: expect.closeTo(40, 9) as number,
    });
    expect(blendedShape(rim, to, 0)).toMatchObject({ aPx: expect.closeTo(50, 9) as number });
  });
});
