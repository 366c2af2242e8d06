import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { stillCamera, type TraceSample } from '../../../shared-lib/contract/trace.ts';
import {
  chooseDisc,
  likelihoodOfTravel,
  plainBar,
  sureEnough,
  type FollowedDisc,
} from '../../../shared-lib/trace/choose-trace.ts';
import { assembleTrace } from '../../../shared-lib/trace/assemble-trace.ts';
import { correctMotion, predictMotion, startMotion } from '../../../shared-lib/trace/disc-motion.ts';
import { repeatedFrames } from '../../../shared-lib/trace/duplicated-frames.ts';
import { fusePositions } from '../../../shared-lib/trace/fuse-positions.ts';
import { pooledRim, stretched } from '../../../shared-lib/trace/pooled-rim.ts';

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

describe('repeatedFrames', () => {
  const at = (y: number[]): TraceSample[] => y.map((v, k) => sample(k, 0, v));

  it('are repeats while the bar moves, and none while it rests', () => {
    const y = [0, 5, 10, 10, 20, 25, 25, 35, 40, 40, 40, 40, 40, 40];
    expect(repeatedFrames(at(y))).toEqual([3, 6]);
  });

  it('are found in films brought to a higher rate', () => {
    expect(repeatedFrames(at([0, 5, 5, 10, 10, 10, 15, 15, 20]))).toEqual([2, 4, 5, 7]);
  });

  it('are no turn of the bar, which stands for a moment and goes back', () => {
    expect(repeatedFrames(at([0, 5, 10, 10.05, 5, 0]))).toEqual([]);
  });
});

describe('assembleTrace', () => {
  it('bridges a repeated picture instead of taking it for a new moment', () => {
    const y = [0, 5, 10, 10, 20, 25, 30, 35];
    const measurements = y.map((yPx, k) => ({
      tS: k / 30,
      xPx: 0,
      yPx,
      varXPx2: 0.01,
      varYPx2: 0.01,
      covXYPx2: 0,
      confidence: 1,
      radiusPx: 50,
      rim: null,
      rimShare: 1,
      tall: 0,
      skew: 0,
      turnRad: 0,
    }));
    const trace = assembleTrace(measurements, rim);
    expect(trace.repeated).toEqual([3]);
    expect(trace.samples.map((s) => s.state)).toEqual(y.map((_, k) => (k === 3 ? 'bridged' : 'seen')));
    expect(trace.samples[3].yPx).toBeCloseTo(15, 6);
  });
});

/** A disc that goes down and up twice, or would, by its rim in pixels and how much of it shows. */
const discThat = (aPx: number, travelPx: number, rimShare: number, atPx = 0): FollowedDisc => ({
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
    tall: 0,
    skew: 0,
    turnRad: 0,
  })),
});

describe('chooseDisc', () => {
  const disc = discThat;

  it('takes the near end’s disc, not the far end’s, nor a larger one that stands on a rack', () => {
    const near = disc(80, 120, 0.9);
    expect(chooseDisc([disc(55, 80, 0.95, 140), near, disc(110, 0, 1, 400)])?.disc).toBe(near);
  });

  it('takes the rim, not a plainer ring on its face', () => {
    const outer = disc(80, 120, 0.5);
    expect(chooseDisc([disc(57, 120, 0.98), outer])?.disc).toBe(outer);
  });

  it('does not take a larger outline round a disc that would hide most of it and does not', () => {
    const whole = disc(93, 120, 0.6);
    const partOfIt = disc(118, 120, 0.55, 43);
    expect(chooseDisc([whole, partOfIt])?.disc).toBe(whole);
    // A near end's disc does hide what it lies before.
    const far = disc(93, 120, 0.4);
    const near = disc(118, 120, 0.55, 43);
    expect(chooseDisc([far, near])?.disc).toBe(near);
  });

  it('does not take an outline that is much flatter for the rim of a disc that it moves with', () => {
    const ring = disc(118, 200, 0.98);
    const rim = disc(170, 200, 0.8);
    const lifter = disc(266, 200, 0.8);
    lifter.rim.bPx = 0.75 * lifter.rim.aPx;
    expect(chooseDisc([ring, rim, lifter])?.disc).toBe(rim);
  });

  it('does not take a large flat outline that is followed as well as a round disc and moves to a time of its own', () => {
    const round = disc(170, 190, 0.6);
    const flat = disc(266, 190, 0.62);
    flat.rim.bPx = 0.75 * flat.rim.aPx;
    flat.measurements.forEach((m, k) => (m.yPx = 95 * (1 - Math.cos(k / 9.5 + 0.6))));
    expect(chooseDisc([round, flat])?.disc).toBe(round);
  });

  it('takes the near end’s disc however much plainer the far end’s is: they move in step', () => {
    const near = disc(96, 130, 0.55);
    expect(chooseDisc([disc(67, 90, 0.8, 170), near])?.disc).toBe(near);
  });

  it('takes the near end’s disc far off square, too, where the far end’s is half hidden and looks the rounder', () => {
    const [near, far] = [disc(107, 150, 0.81), disc(75, 110, 0.62, 269)];
    near.rim.bPx = 87;
    far.rim.bPx = 71;
    expect(chooseDisc([near, far])?.disc).toBe(near);
    // One that shows less of its rim is an outline of this and that.
    const lessPlain = disc(107, 150, 0.6);
    lessPlain.rim.bPx = 87;
    expect(chooseDisc([lessPlain, far])?.disc).toBe(far);
  });

  it('leaves a fainter, larger disc that moves to a time of its own', () => {
    const bar = disc(67, 90, 0.8);
    const other = disc(96, 130, 0.55, 300);
    other.measurements.forEach((m, k) => (m.yPx = 65 * (1 - Math.cos(k / 9.5 + 0.4))));
    expect(chooseDisc([bar, other])?.disc).toBe(bar);
  });

  it('is surer of a disc that is alone and plain than of one beside another, and than of a faint one', () => {
    const bar = disc(80, 120, 0.9);
    const other = disc(78, 120, 0.85, 300);
    other.measurements.forEach((m, k) => (m.yPx = 60 * (1 - Math.cos(k / 9.5 + 0.7))));
    const surenessOf = (discs: FollowedDisc[]): number => chooseDisc(discs)!.sureness;
    expect(surenessOf([bar])).toBeCloseTo(0.9 / 1.1, 6);
    expect(surenessOf([bar, other])).toBeCloseTo(0.9 / 1.75, 6);
    expect(surenessOf([disc(80, 120, 0.25)])).toBeLessThan(sureEnough);
    // The far end's disc and a ring on its face go with it.
    expect(surenessOf([bar, disc(55, 80, 0.95, 140), disc(60, 120, 0.8)])).toBeGreaterThan(0.8);
  });

  it('takes a disc by whose size the bar travels as bars do before a plainer ring by whose size it goes farther', () => {
    // 120 px are 0.45 m by the disc of 60 px, and 2.7 m by the hub of 10 px.
    const hub = disc(10, 120, 0.95);
    const rimOfIt = disc(60, 120, 0.35);
    expect(chooseDisc([hub, rimOfIt])?.disc).toBe(rimOfIt);
    const alone = chooseDisc([hub])!;
    expect(alone.sureness).toBeLessThan(0.1);
    // Within what bodies allow, the plainer one is what it was.
    expect(likelihoodOfTravel(0.2)).toBe(1);
    expect(likelihoodOfTravel(0.9)).toBe(1);
    expect(likelihoodOfTravel(1.1)).toBeGreaterThan(0.5);
    expect(likelihoodOfTravel(1.5)).toBeLessThan(0.05);
  });

  it('takes nothing where nothing travels', () => {
    expect(chooseDisc([disc(80, 10, 1)])).toBeNull();
    expect(chooseDisc([])).toBeNull();
  });
});

describe('plainBar', () => {
  it('is the disc that would be chosen once it has travelled and shown its rim, and none where that is chosen for its size alone', () => {
    const bar = discThat(148, 200, 0.83);
    expect(plainBar([bar, discThat(39, 200, 0.9)])).toBe(bar);
    // An outline in step with it that shows half as much of a rim as it does would be chosen; the bar is not given up for it yet.
    const outline = discThat(164, 200, 0.5);
    expect(chooseDisc([bar, outline])?.disc).toBe(outline);
    expect(plainBar([bar, outline])).toBeNull();
  });

  it('is none while nothing has travelled as far as bars do, nor where a hub has travelled farther', () => {
    expect(plainBar([discThat(148, 150, 0.83)])).toBeNull();
    expect(plainBar([discThat(30, 200, 0.95)])).toBeNull();
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

  it('stretches a rim along any direction', () => {
    const along = stretched(rim, 0.02, [0.1, 0]);
    expect([along.aPx, along.bPx]).toEqual([expect.closeTo(50 * 1.12, 9), expect.closeTo(50 * 0.92, 9)]);
    expect(along.thetaRad).toBeCloseTo(0, 9);
    const across = stretched(rim, 0, [0, 0.1]);
    expect([across.aPx, across.bPx]).toEqual([expect.closeTo(55, 9), expect.closeTo(45, 9)]);
    expect(across.thetaRad).toBeCloseTo(Math.PI / 4, 9);
  });
});
