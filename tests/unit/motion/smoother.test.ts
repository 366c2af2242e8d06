import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { PlaneTrace } from '../../../shared-lib/contract/motion.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import { smoothTrace, type SmoothedTrace } from '../../../shared-lib/motion/smoother.ts';
import { smoothingByEvidence } from '../../../shared-lib/motion/smoothing-by-evidence.ts';
import { cutoffOf, evenSmoothing, gainAt } from '../../../shared-lib/motion/smoothing.ts';
import { median } from '../../../shared-lib/motion/statistics.ts';
import scipy from '../../reference/motion-scipy.json' with { type: 'json' };
import { losing, noisy, rms, traceOf } from './traces.ts';

const signal = (t: number): number =>
  Math.sin(2 * Math.PI * t) + 0.3 * Math.sin(8 * Math.PI * t) + 0.1 * Math.cos(18 * Math.PI * t);
const smoothed = (trace: PlaneTrace): SmoothedTrace => smoothTrace(trace, smoothingByEvidence(trace));

describe('smoothTrace at one strength', () => {
  it.each([0, 2])('lets of a sine through what it says, without lag, slow error %d', (slowShare) => {
    const f0Hz = 6;
    for (const [f, rate] of [
      [6, 60],
      [6, 120],
      [3, 60],
      [9, 120],
    ]) {
      const n = 10 * rate;
      const trace = traceOf((t) => Math.sin(2 * Math.PI * f * t), n, rate);
      const { frame } = smoothTrace(trace, evenSmoothing(trace, f0Hz, slowShare));
      let inPhase = 0;
      let quadrature = 0;
      const [from, to] = [3 * rate, 7 * rate];
      for (let i = from; i < to; i++) {
        inPhase += (2 * frame.yM[i] * Math.sin(2 * Math.PI * f * frame.tS[i])) / (to - from);
        quadrature += (2 * frame.yM[i] * Math.cos(2 * Math.PI * f * frame.tS[i])) / (to - from);
      }
      expect(Math.abs(inPhase - gainAt(f, f0Hz, 1 / rate, slowShare))).toBeLessThan(0.01);
      expect(Math.abs(quadrature)).toBeLessThan(0.001);
    }
    expect(gainAt(cutoffOf(f0Hz, 1 / 60, slowShare), f0Hz, 1 / 60, slowShare)).toBeCloseTo(Math.SQRT1_2, 9);
  });

  it("agrees with SciPy's third-order Butterworth run both ways, away from the ends", () => {
    for (const { rateHz, n, cutoffHz, y } of scipy.thirdOrder) {
      const trace = traceOf(signal, n, rateHz);
      const f0Hz = cutoffHz / (Math.SQRT2 - 1) ** (1 / 6);
      const { frame } = smoothTrace(trace, evenSmoothing(trace, f0Hz, 0));
      for (let i = rateHz / 2; i < n - rateHz / 2; i++) {
        // Half a per cent of an amplitude of 1.4: the filter's bilinear warp and the discrete smoother differ.
        expect(Math.abs(frame.yM[i] - y[i])).toBeLessThan(0.007);
      }
    }
  });

  it('serves a stretch of the trace that it was decided on and no other', () => {
    const trace = traceOf(signal, 300, 60);
    const smoothing = evenSmoothing(trace, 6);
    const whole = smoothTrace(trace, smoothing);
    const part = {
      tS: trace.tS.slice(100, 250),
      xM: trace.xM.slice(100, 250),
      yM: trace.yM.slice(100, 250),
      sxM: trace.sxM.slice(100, 250),
      syM: trace.syM.slice(100, 250),
      state: trace.state.slice(100, 250),
    };
    const { frame } = smoothTrace(part, smoothing);
    expect(frame.yM[75]).toBeCloseTo(whole.frame.yM[175], 5);
    expect(() => smoothTrace({ ...part, tS: part.tS.map((t) => t + 0.001) }, smoothing)).toThrow(RangeError);
  });

  it('is stronger with a lower factor', () => {
    const trace = noisy(
      traceOf(() => 0, 300, 60),
      0.001,
      0,
      seededRandom(3),
    );
    const smoothing = evenSmoothing(trace, 6);
    const at = (cutoffFactor: number): number =>
      rms(smoothTrace(trace, smoothing, { cutoffFactor }).frame.yM);
    expect(at(0.8)).toBeLessThan(at(1));
    expect(at(1)).toBeLessThan(at(1.2));
  });
});

describe('smoothTrace by evidence', () => {
  it('reproduces a parabola with its velocity, ends included', () => {
    const fall = (t: number): number => 1.2 - 0.3 * t - 0.4 * t * t;
    const { motion, frame } = smoothed(traceOf(fall, 90, 30));
    frame.yM.forEach((y, i) => expect(Math.abs(y - fall(frame.tS[i]))).toBeLessThan(1e-4));
    motion.vyMps.forEach((v, i) => {
      const t = motion.t0S + i * motion.dtS;
      expect(Math.abs(v - (-0.3 - 0.8 * t))).toBeLessThan(1e-3);
    });
  });

  it('takes frames at their own uneven times, repeated time stamps among them', () => {
    const random = seededRandom(5);
    const jitter = Float64Array.from({ length: 240 }, () => 0.3 * (random.uniform() - 0.5));
    const slow = (t: number): number => 0.3 * Math.sin(2 * Math.PI * 0.7 * t);
    const times = (i: number): number => (i % 50 === 1 ? i - 1 + jitter[i - 1] : i + jitter[i]) / 60;
    const trace = noisy(traceOf(slow, 240, 60, 0.0002, times), 0.0002, 0, random);
    const { motion, frame } = smoothed(trace);
    const error = motion.yM.map((y, i) => y - slow(motion.t0S + i * motion.dtS));
    expect(rms(error)).toBeLessThan(2e-4);
    const vError = motion.vyMps.map(
      (v, i) => v - 0.3 * 2 * Math.PI * 0.7 * Math.cos(2 * Math.PI * 0.7 * (motion.t0S + i * motion.dtS)),
    );
    expect(rms(vError.subarray(60, vError.length - 60))).toBeLessThan(4e-3);
    // Two measurements of one moment have one answer.
    expect(frame.tS[101]).toBe(frame.tS[100]);
    expect(frame.yM[101]).toBeCloseTo(frame.yM[100], 9);
    expect(frame.syM[101]).toBeCloseTo(frame.syM[100], 9);
  });

  it('puts the motion on an even base of 1/240 s, or of the frames where they are closer', () => {
    expect(smoothed(traceOf(signal, 60, 30)).motion.dtS).toBe(1 / 240);
    const { motion } = smoothed(traceOf(signal, 1000, 500));
    expect(motion.dtS).toBeCloseTo(1 / 500, 12);
    expect(motion.yM).toHaveLength(1000);
    const trace = traceOf(signal, 61, 30);
    expect(smoothTrace(trace, evenSmoothing(trace, 5), { dtS: 0.01 }).motion.yM).toHaveLength(201);
  });

  it('bridges what is not measured with growing uncertainty and cuts where more than a second is missing', () => {
    const slow = (t: number): number => 0.3 * Math.sin(2 * Math.PI * 0.5 * t);
    const trace = noisy(traceOf(slow, 300, 60), 0.001, 0, seededRandom(6));
    const { frame } = smoothed(losing(trace, 140, 160));
    expect(frame.syM[150]).toBeGreaterThan(1.5 * frame.syM[100]);
    expect(frame.syM[150]).toBeGreaterThan(frame.syM[142]);
    expect(Math.abs(frame.yM[150] - slow(150 / 60))).toBeLessThan(3 * frame.syM[150]);
    const cut = smoothed(losing(trace, 140, 205));
    for (const i of [140, 165, 204]) expect(cut.frame.yM[i]).toBeNaN();
    for (const i of [100, 139, 205, 250]) expect(cut.frame.yM[i]).toBeCloseTo(slow(i / 60), 2);
    expect(cut.motion.yM[Math.round((165 / 60) * 240)]).toBeNaN();
    expect(cut.motion.vyMps[Math.round((220 / 60) * 240)]).not.toBeNaN();
  });

  it('takes nothing from a bridged sample, as where a frame repeats the picture before it', () => {
    const slow = (t: number): number => 0.3 * Math.sin(2 * Math.PI * 0.5 * t);
    const trace = noisy(traceOf(slow, 300, 60), 0.0002, 0, seededRandom(7));
    const repeated = {
      ...trace,
      yM: trace.yM.map((y, i) => (i % 5 === 3 ? trace.yM[i - 1] : y)),
      state: trace.state.map((s, i) => (i % 5 === 3 ? 1 : s)),
    };
    const { motion } = smoothed(repeated);
    const vError = motion.vyMps.map(
      (v, i) => v - 0.3 * Math.PI * Math.cos(Math.PI * (motion.t0S + i * motion.dtS)),
    );
    expect(rms(vError)).toBeLessThan(0.006);
  });

  it('lets a single bad sample move it by less than two of its sigmas', () => {
    const slow = (t: number): number => 0.3 * Math.sin(2 * Math.PI * 0.5 * t);
    const trace = noisy(traceOf(slow, 300, 60), 0.0005, 0, seededRandom(8));
    const clean = smoothed(trace).frame;
    for (const off of [0.005, 0.1]) {
      const yM = trace.yM.slice();
      yM[150] += off;
      const spoilt = smoothed({ ...trace, yM }).frame;
      for (let i = 0; i < 300; i++)
        expect(Math.abs(spoilt.yM[i] - clean.yM[i])).toBeLessThan(2 * clean.syM[i]);
    }
  });

  it('follows a bar that meets the floor within a frame, and is quiet where it stands still', () => {
    const drop = (t: number): number => Math.max(0, t < 1 ? 0.5 : 0.5 - 4.9 * (t - 1) ** 2);
    const landedS = 1 + Math.sqrt(0.5 / 4.9);
    const trace = noisy(traceOf(drop, 180, 60), 0.0002, 0, seededRandom(9));
    const local = smoothed(trace);
    const even = smoothTrace(trace, evenSmoothing(trace, 6));
    const at = (t: number): number => Math.round(240 * t);
    // It comes down at 3.1 m/s; one strength of 6 Hz for all has lost a third of that a frame before it lands.
    const off = ({ motion }: SmoothedTrace, frames: number): number => {
      const t = landedS - frames / 60;
      return Math.abs(motion.vyMps[at(t)] / (-9.8 * (t - 1)) - 1);
    };
    expect(off(local, 1)).toBeLessThan(0.15);
    expect(off(local, 2)).toBeLessThan(0.05);
    expect(off(even, 1)).toBeGreaterThan(0.3);
    expect(rms(local.motion.vyMps.subarray(at(0.2), at(0.7)))).toBeLessThan(0.003);
  });

  it('states a posterior that covers the truth and does not depend on the stated sigma', () => {
    const slow = (t: number): number => 0.3 * Math.sin(2 * Math.PI * 0.5 * t);
    const trace = noisy(traceOf(slow, 1500, 60), 0.001, 0, seededRandom(9));
    const { frame } = smoothed(trace);
    const error = frame.yM.map((y, i) => y - slow(frame.tS[i]));
    // White noise alone is less than the model expects: it takes a part of it for the slow error, of which there is none.
    expect(rms(error) / median(frame.syM)).toBeLessThan(1);
    expect(smoothingByEvidence(trace).y.typicalM / 0.001).toBeGreaterThan(0.85);
    expect(smoothingByEvidence(trace).y.typicalM / 0.001).toBeLessThan(1.07);
    const half = { ...trace, syM: trace.syM.map((s) => s / 2) };
    expect(median(smoothed(half).frame.syM) / median(frame.syM)).toBeCloseTo(1, 3);
  });

  it('is the same forward and backward in time, to the first and last frame', () => {
    const trace = noisy(
      traceOf((t) => 0.6 * t, 120, 30),
      0.001,
      0,
      seededRandom(11),
    );
    const ahead = smoothed(trace).frame;
    const back = smoothed({ ...trace, xM: trace.xM.toReversed(), yM: trace.yM.toReversed() }).frame;
    for (let i = 0; i < 120; i++) {
      expect(Math.abs(ahead.yM[i] - back.yM[119 - i])).toBeLessThan(1e-4);
      expect(Math.abs(ahead.syM[i] / back.syM[119 - i] - 1)).toBeLessThan(0.05);
      expect(Math.abs(ahead.svyMps[i] / back.svyMps[119 - i] - 1)).toBeLessThan(0.05);
    }
  });

  it('answers NaN for a trace without a bar', () => {
    const trace = losing(
      traceOf(() => 0, 60, 30),
      0,
      60,
    );
    const none = smoothed(trace);
    expect(none.motion.yM.every((y) => Number.isNaN(y))).toBe(true);
    expect(none.draw(seededRandom(1)).vyMps.every((v) => Number.isNaN(v))).toBe(true);
  });

  it('moves with the bar, scales with it, and does not care when', () => {
    const base = noisy(
      traceOf((t) => 0.3 * Math.sin(3 * t), 120, 60),
      0.001,
      0,
      seededRandom(10),
    );
    const plain = smoothed(base);
    fc.assert(
      fc.property(
        fc.double({ min: -5, max: 5, noNaN: true }),
        fc.double({ min: 0.2, max: 5, noNaN: true }),
        fc.double({ min: 0, max: 100, noNaN: true }),
        (shift, factor, later) => {
          const changed = smoothed({
            ...base,
            tS: base.tS.map((t) => t + later),
            yM: base.yM.map((y) => factor * y + shift),
            syM: base.syM.map((s) => factor * s),
          });
          for (const i of [0, 40, 119]) {
            expect(changed.frame.yM[i]).toBeCloseTo(factor * plain.frame.yM[i] + shift, 5);
            expect(changed.frame.syM[i]).toBeCloseTo(factor * plain.frame.syM[i], 5);
          }
          expect(changed.motion.vyMps[200]).toBeCloseTo(factor * plain.motion.vyMps[200], 3);
        },
      ),
      { numRuns: 15 },
    );
  });
});
