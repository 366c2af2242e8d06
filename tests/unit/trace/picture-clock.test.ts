import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { stillCamera, type TraceSample } from '../../../shared-lib/contract/trace.ts';
import { toBarPlane } from '../../../shared-lib/camera/rectify.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import { assembleTrace } from '../../../shared-lib/trace/assemble-trace.ts';
import { pictureTimes } from '../../../shared-lib/trace/duplicated-frames.ts';
import { pictureAt, pictureClock, takenS, type Novelty } from '../../../shared-lib/trace/picture-clock.ts';

/** Stamps of `seconds` of film at `shownFps`, from a stamp other than 0. */
const stamps = (shownFps: number, seconds: number): number[] =>
  Array.from({ length: Math.round(shownFps * seconds) }, (_, n) => 0.2 + n / shownFps);

/** What is known when every frame shows the latest picture of a clock. */
const noveltyBy = (ptsS: number[], fps: number, phase: number): Novelty[] =>
  ptsS.map((t, i) => {
    if (i === 0) return null;
    const clock = { fps, phase };
    return pictureAt(clock, t) === pictureAt(clock, ptsS[i - 1]) ? 'repeat' : 'new';
  });

/** A squat-like path: still for a second, down and up by 300 px, still again; pixels at a time. */
const heightPx = (tS: number): number =>
  150 - 150 * Math.cos(2 * Math.PI * Math.min(1, Math.max(0, (tS - 1.2) / 3)));

function film(ptsS: number[], taken: number[], noisePx = 0): TraceSample[] {
  const random = seededRandom(7);
  let last = { takenS: NaN, xPx: 0, yPx: 0 };
  return ptsS.map((t, frame) => {
    if (taken[frame] !== last.takenS) {
      const off = () => noisePx * random.normal();
      last = { takenS: taken[frame], xPx: 100 + off(), yPx: heightPx(taken[frame]) + off() };
    }
    return {
      frame,
      ptsS: t,
      xPx: last.xPx,
      yPx: last.yPx,
      varXPx2: 0.01,
      varYPx2: 0.01,
      covXYPx2: 0,
      rimRadiusPx: 60,
      confidence: 1,
      state: 'seen',
      camera: stillCamera,
    };
  });
}

const repeatsOf = (taken: number[]): number[] =>
  [...taken.keys()].filter((i) => i > 0 && taken[i] === taken[i - 1]);

const conversions = [
  { from: 24, to: 30 },
  { from: 25, to: 30 },
  { from: 30, to: 60 },
  { from: 24, to: 60 },
  { from: 24000 / 1001, to: 30000 / 1001 },
  { from: 24, to: 25 },
];

describe('pictureClock', () => {
  it.each(conversions)('finds the clock of $from pictures in $to a second', ({ from, to }) => {
    fc.assert(
      fc.property(fc.double({ min: 0.01, max: 0.99, noNaN: true }), (phase) => {
        const ptsS = stamps(to, 8);
        const clock = pictureClock(ptsS, noveltyBy(ptsS, from, phase))!;
        expect(Math.abs(clock.fps / from - 1)).toBeLessThan(0.003);
        // The pattern comes back every few frames, which leaves some of the phase open: at most half that part.
        const errors = ptsS.map((t) => takenS(clock, t) - takenS({ fps: from, phase }, t));
        const spread = Math.max(...errors) - Math.min(...errors);
        expect(spread * from).toBeLessThan(0.1);
        expect(Math.max(...errors.map(Math.abs))).toBeLessThan(0.5 / to + 0.1 / from);
      }),
      { numRuns: 8 },
    );
  });

  it('needs only part of the frames, and bears a few that are wrong', () => {
    const ptsS = stamps(30, 8);
    const real = noveltyBy(ptsS, 24, 0.43);
    const known = real.map((n, i) => (i > 40 && i < 150 ? n : null));
    known[83] = known[83] === 'new' ? 'repeat' : 'new';
    const clock = pictureClock(ptsS, known)!;
    expect(noveltyBy(ptsS, clock.fps, clock.phase)).toEqual(real);
  });

  it('takes stamps that vary, as recorders write them, and missing frames', () => {
    const random = seededRandom(3);
    const ptsS = stamps(30, 8)
      .map((t) => t + 0.002 * random.uniform())
      .filter((_, i) => i % 37 !== 11);
    const clock = pictureClock(ptsS, noveltyBy(ptsS, 24, 0.55))!;
    const errors = ptsS.map((t) => Math.abs(takenS(clock, t) - takenS({ fps: 24, phase: 0.55 }, t)));
    expect(Math.max(...errors)).toBeLessThan(0.01);
  });

  it('finds none in repeats that follow no clock', () => {
    for (let seed = 1; seed <= 40; seed++) {
      const random = seededRandom(seed);
      const share = 0.03 + 0.2 * random.uniform();
      const ptsS = stamps(30, 8);
      const novelty = ptsS.map((): Novelty => (random.uniform() < share ? 'repeat' : 'new'));
      expect(pictureClock(ptsS, novelty)).toBeNull();
    }
  });

  it('finds none in a film without repeats or with a few', () => {
    const ptsS = stamps(30, 4);
    expect(
      pictureClock(
        ptsS,
        ptsS.map((): Novelty => 'new'),
      ),
    ).toBeNull();
    expect(pictureClock(ptsS, ptsS.map((_, i): Novelty => (i === 50 || i === 80 ? 'repeat' : 'new')))).toBeNull(); // prettier-ignore
  });
});

describe('pictureTimes', () => {
  it.each(conversions.slice(0, 4))(
    'of $from in $to: every repeat, at rest too, and true times',
    ({ from, to }) => {
      const ptsS = stamps(to, 6);
      const taken = ptsS.map((t) => takenS({ fps: from, phase: 0.3 }, t));
      const times = pictureTimes(film(ptsS, taken, 0.03));
      expect(times.repeated).toEqual(repeatsOf(taken));
      const errors = times.takenS!.map((t, i) => t - taken[i]);
      // The delay common to all is open; what is left is 1 % of a picture's time over the moving stretch.
      expect(Math.max(...errors) - Math.min(...errors)).toBeLessThan(0.12 / from);
    },
  );

  it('of single repeats at odd places keeps the other stamps', () => {
    const ptsS = stamps(30, 6);
    const odd = new Set([48, 55, 57, 71, 90, 94, 101, 119]);
    const taken = ptsS.map((t, i) => (odd.has(i) ? ptsS[i - 1] : t));
    const times = pictureTimes(film(ptsS, taken, 0.03));
    expect(times).toEqual({ repeated: [...odd], takenS: null });
  });
});

describe('a converted film in the bar plane', () => {
  it('moves as the bar did, each picture at the time it was taken', () => {
    const ptsS = stamps(30, 6);
    const taken = ptsS.map((t) => takenS({ fps: 24, phase: 0.3 }, t));
    const rim = { xPx: 100, yPx: 0, aPx: 60, bPx: 60, thetaRad: 0 };
    const measurements = film(ptsS, taken).map(({ ptsS: tS, xPx, yPx, varXPx2, varYPx2, covXYPx2 }) => ({
      ...{ tS, xPx, yPx, varXPx2, varYPx2, covXYPx2 },
      ...{ confidence: 1, radiusPx: 60, rim: null, rimShare: 1, tall: 0, skew: 0, turnRad: 0 },
    }));
    const trace = assembleTrace(measurements, rim);
    expect(trace.repeated).toEqual(repeatsOf(taken));
    // A repeated frame shows the disc where the picture before it does.
    trace.repeated!.forEach((i) => expect(trace.samples[i].yPx).toBeCloseTo(trace.samples[i - 1].yPx, 9));
    const { plane } = toBarPlane(trace, {
      discM: 0.45,
      discSigmaM: 0.001,
      facing: 'right',
      slowMotion: 1,
      slowMotionSource: 'none',
      seed: { ptsS: 0, xPx: 0, yPx: 0, source: 'user' },
    });
    const mPerPx = 0.45 / 120;
    const delayS = taken.map((t, i) => t - ptsS[0] - plane.tS[i]);
    const meanS = delayS.reduce((a, b) => a + b) / delayS.length;
    plane.yM.forEach((y, i) => {
      const real = -mPerPx * (heightPx(plane.tS[i] + ptsS[0] + meanS) - heightPx(taken[0]));
      // By the stamps alone 25 ms of delay at 314 px/s would be off by 29 mm.
      expect(Math.abs(y - plane.yM[0] - real)).toBeLessThan(0.0025);
    });
  });
});
