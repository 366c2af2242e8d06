import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import { halfGainHz, smoothTrace } from '../../../shared-lib/motion/smoother.ts';
import { median } from '../../../shared-lib/motion/statistics.ts';
import scipy from '../../reference/motion-scipy.json' with { type: 'json' };
import { losing, noisy, rms, traceOf } from './traces.ts';

const signal = (t: number): number =>
  Math.sin(2 * Math.PI * t) + 0.3 * Math.sin(8 * Math.PI * t) + 0.1 * Math.cos(18 * Math.PI * t);

describe('smoothTrace', () => {
  it('lets 1 / (1 + (f / f0)^6) of a sine through without lag: .7071 at the cut-off', () => {
    const cutoffHz = 6;
    for (const [f, rate] of [
      [6, 60],
      [6, 120],
      [3, 60],
      [9, 120],
    ]) {
      const n = 10 * rate;
      const { frame } = smoothTrace(
        traceOf((t) => Math.sin(2 * Math.PI * f * t), n, rate),
        { cutoffHz },
      );
      let inPhase = 0;
      let quadrature = 0;
      const [from, to] = [3 * rate, 7 * rate];
      for (let i = from; i < to; i++) {
        inPhase += (2 * frame.yM[i] * Math.sin(2 * Math.PI * f * frame.tS[i])) / (to - from);
        quadrature += (2 * frame.yM[i] * Math.cos(2 * Math.PI * f * frame.tS[i])) / (to - from);
      }
      expect(Math.abs(inPhase - 1 / (1 + (f / halfGainHz(cutoffHz)) ** 6))).toBeLessThan(0.01);
      if (f === cutoffHz) expect(Math.abs(inPhase - Math.SQRT1_2)).toBeLessThan(0.01);
      expect(Math.abs(quadrature)).toBeLessThan(0.001);
    }
  });

  it("agrees with SciPy's third-order Butterworth run both ways, away from the ends", () => {
    for (const { rateHz, n, cutoffHz, y } of scipy.thirdOrder) {
      const { frame } = smoothTrace(traceOf(signal, n, rateHz), { cutoffHz });
      for (let i = rateHz / 2; i < n - rateHz / 2; i++) {
        // Half a per cent of an amplitude of 1.4: the filter's bilinear warp and the discrete smoother differ.
        expect(Math.abs(frame.yM[i] - y[i])).toBeLessThan(0.007);
      }
    }
  });

  it('reproduces a parabola with its velocity, ends included', () => {
    const fall = (t: number): number => 1.2 - 0.3 * t - 0.4 * t * t;
    const { motion, frame } = smoothTrace(traceOf(fall, 90, 30), { cutoffHz: 5 });
    frame.yM.forEach((y, i) => expect(Math.abs(y - fall(frame.tS[i]))).toBeLessThan(1e-5));
    motion.vyMps.forEach((v, i) => {
      const t = motion.t0S + i * motion.dtS;
      expect(Math.abs(v - (-0.3 - 0.8 * t))).toBeLessThan(1e-4);
    });
  });

  it('takes frames at their own uneven times', () => {
    const random = seededRandom(5);
    const jitter = Float64Array.from({ length: 240 }, () => 0.3 * (random.uniform() - 0.5));
    const slow = (t: number): number => 0.3 * Math.sin(2 * Math.PI * 0.7 * t);
    const { motion } = smoothTrace(
      traceOf(slow, 240, 60, 0.001, (i) => (i + jitter[i]) / 60),
      { cutoffHz: 8 },
    );
    const error = motion.yM.map((y, i) => y - slow(motion.t0S + i * motion.dtS));
    expect(rms(error.subarray(60, error.length - 60))).toBeLessThan(1e-6);
    expect(rms(error)).toBeLessThan(2e-4);
    const vError = motion.vyMps.map(
      (v, i) => v - 0.3 * 2 * Math.PI * 0.7 * Math.cos(2 * Math.PI * 0.7 * (motion.t0S + i * motion.dtS)),
    );
    expect(rms(vError.subarray(60, vError.length - 60))).toBeLessThan(1e-4);
  });

  it('puts the motion on an even base of 1/240 s, or of the frames where they are closer', () => {
    expect(smoothTrace(traceOf(signal, 60, 30), { cutoffHz: 5 }).motion.dtS).toBe(1 / 240);
    const { motion } = smoothTrace(traceOf(signal, 1000, 500), { cutoffHz: 5 });
    expect(motion.dtS).toBeCloseTo(1 / 500, 12);
    expect(motion.yM).toHaveLength(1000);
    expect(smoothTrace(traceOf(signal, 61, 30), { cutoffHz: 5, dtS: 0.01 }).motion.yM).toHaveLength(201);
  });

  it('bridges lost samples with growing uncertainty and cuts where more than 0.5 s are lost', () => {
    const slow = (t: number): number => 0.3 * Math.sin(2 * Math.PI * 0.5 * t);
    const trace = noisy(traceOf(slow, 300, 60), 0.001, 0, seededRandom(6));
    const { frame } = smoothTrace(losing(trace, 140, 160), { cutoffHz: 5 });
    expect(frame.syM[150]).toBeGreaterThan(5 * frame.syM[100]);
    expect(frame.syM[150]).toBeGreaterThan(frame.syM[142]);
    expect(Math.abs(frame.yM[150] - slow(150 / 60))).toBeLessThan(3 * frame.syM[150]);
    const cut = smoothTrace(losing(trace, 140, 175), { cutoffHz: 5 });
    for (const i of [140, 157, 174]) expect(cut.frame.yM[i]).toBeNaN();
    for (const i of [100, 139, 175, 250]) expect(cut.frame.yM[i]).toBeCloseTo(slow(i / 60), 2);
    expect(cut.motion.yM[Math.round((157 / 60) * 240)]).toBeNaN();
    expect(cut.motion.vyMps[Math.round((200 / 60) * 240)]).not.toBeNaN();
  });

  it('lets bridged samples count as one together', () => {
    const trace = noisy(
      traceOf(() => 0, 200, 60),
      0.001,
      0,
      seededRandom(7),
    );
    const bridged = { ...trace, state: trace.state.map((s, i) => (i >= 90 && i < 110 ? 1 : s)) };
    const seen = smoothTrace(trace, { cutoffHz: 5 }).frame;
    const less = smoothTrace(bridged, { cutoffHz: 5 }).frame;
    expect(less.syM[100] / seen.syM[100]).toBeGreaterThan(1.5);
  });

  it('halves the say of a single bad sample', () => {
    const slow = (t: number): number => 0.3 * Math.sin(2 * Math.PI * 0.5 * t);
    const trace = noisy(traceOf(slow, 300, 60), 0.0005, 0, seededRandom(8));
    const clean = smoothTrace(trace, { cutoffHz: 5 }).frame;
    const yM = trace.yM.slice();
    yM[150] += 0.1;
    const spoilt = smoothTrace({ ...trace, yM }, { cutoffHz: 5 }).frame;
    // A linear smoother would move by a fifth; more doubt than this would smooth an impact away.
    for (let i = 0; i < 300; i++) expect(Math.abs(spoilt.yM[i] - clean.yM[i])).toBeLessThan(0.011);
  });

  it('states a posterior that covers the truth and does not depend on the stated sigma', () => {
    const slow = (t: number): number => 0.3 * Math.sin(2 * Math.PI * 0.5 * t);
    const trace = noisy(traceOf(slow, 3000, 60), 0.001, 0, seededRandom(9));
    const { frame, noiseScale } = smoothTrace(trace, { cutoffHz: 6 });
    const error = frame.yM.map((y, i) => y - slow(frame.tS[i]));
    // For a motion as smooth as this the error is noise alone: 5/6 of the posterior variance.
    expect(rms(error) / median(frame.syM)).toBeGreaterThan(Math.sqrt(5 / 6) * 0.93);
    expect(rms(error) / median(frame.syM)).toBeLessThan(Math.sqrt(5 / 6) * 1.07);
    const half = { ...trace, syM: trace.syM.map((s) => s / 2) };
    const restated = smoothTrace(half, { cutoffHz: 6 });
    expect(restated.noiseScale.y.inBand / noiseScale.y.inBand).toBeCloseTo(2, 6);
    expect(median(restated.frame.syM)).toBeCloseTo(median(frame.syM), 9);
  });

  it('is the same forward and backward in time, to the first and last frame', () => {
    const trace = noisy(
      traceOf((t) => 0.6 * t, 120, 30),
      0.001,
      0,
      seededRandom(11),
    );
    const ahead = smoothTrace(trace, { cutoffHz: 7 }).frame;
    const back = smoothTrace(
      { ...trace, xM: trace.xM.toReversed(), yM: trace.yM.toReversed() },
      { cutoffHz: 7 },
    ).frame;
    for (let i = 0; i < 120; i++) {
      expect(Math.abs(ahead.yM[i] - back.yM[119 - i])).toBeLessThan(1e-6);
      expect(ahead.syM[i] / back.syM[119 - i]).toBeCloseTo(1, 3);
      expect(Math.abs(ahead.svyMps[i] / back.svyMps[119 - i] - 1)).toBeLessThan(0.001);
    }
  });

  it('answers NaN for a trace without a bar', () => {
    const trace = losing(
      traceOf(() => 0, 60, 30),
      0,
      60,
    );
    const smoothed = smoothTrace(trace, { cutoffHz: 5 });
    expect(smoothed.motion.yM.every((y) => Number.isNaN(y))).toBe(true);
    expect(smoothed.draw(seededRandom(1)).vyMps.every((v) => Number.isNaN(v))).toBe(true);
  });

  it('moves with the bar, scales with it, and does not care when', () => {
    const base = noisy(
      traceOf((t) => 0.3 * Math.sin(3 * t), 120, 60),
      0.001,
      0,
      seededRandom(10),
    );
    const plain = smoothTrace(base, { cutoffHz: 5 });
    fc.assert(
      fc.property(
        fc.double({ min: -5, max: 5, noNaN: true }),
        fc.double({ min: 0.2, max: 5, noNaN: true }),
        fc.double({ min: 0, max: 100, noNaN: true }),
        (shift, factor, later) => {
          const changed = smoothTrace(
            {
              ...base,
              tS: base.tS.map((t) => t + later),
              yM: base.yM.map((y) => factor * y + shift),
              syM: base.syM.map((s) => factor * s),
            },
            { cutoffHz: 5 },
          );
          for (const i of [0, 40, 119]) {
            expect(changed.frame.yM[i]).toBeCloseTo(factor * plain.frame.yM[i] + shift, 6);
            expect(changed.frame.syM[i]).toBeCloseTo(factor * plain.frame.syM[i], 6);
          }
          expect(changed.motion.vyMps[200]).toBeCloseTo(factor * plain.motion.vyMps[200], 4);
        },
      ),
      { numRuns: 30 },
    );
  });
});
