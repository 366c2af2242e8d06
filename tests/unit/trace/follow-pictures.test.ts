import { describe, expect, it } from 'vitest';
import type { GreyImage } from '../../../shared-lib/picture/grey-image.ts';
import { assembleTrace } from '../../../shared-lib/trace/assemble-trace.ts';
import { chooseDisc } from '../../../shared-lib/trace/choose-trace.ts';
import { discAt, seedsIn } from '../../../shared-lib/trace/find-seeds.ts';
import { PictureFollower } from '../../../shared-lib/trace/follow-pictures.ts';
import type { Trace } from '../../../shared-lib/contract/trace.ts';
import { paintDisc, type Paint } from '../picture/paint-disc.ts';

const size = { width: 240, height: 260 };
const fps = 30;
const radius = 38;

/** Down and up by 90 px, 0.53 m at this disc's size, in 2 s after half a second of rest; a little sideways. */
function centreAt(tS: number): { xPx: number; yPx: number } {
  const u = Math.min(1, Math.max(0, (tS - 0.5) / 2));
  return { xPx: 118.3 + 6 * Math.sin(Math.PI * u), yPx: 70.4 + 45 * (1 - Math.cos(2 * Math.PI * u)) };
}

interface Film {
  pictures: GreyImage[];
  truth: { xPx: number; yPx: number }[];
}

function film(
  frames: number,
  alter: (frame: number, tS: number) => Partial<Paint> = () => ({}),
  shutter = 0.4,
): Film {
  const truth = Array.from({ length: frames }, (_, k) => centreAt(k / fps));
  const pictures = truth.map((at, k) => {
    const t = k / fps;
    const next = centreAt(t + shutter / fps);
    const disc = {
      ...at,
      aPx: radius,
      bPx: radius,
      thetaRad: 0,
      turnRad: 0.15 * Math.sin(t),
      smearXPx: next.xPx - at.xPx,
      smearYPx: next.yPx - at.yPx,
    };
    return paintDisc({ ...size, disc, noise: 3, seed: k + 1, ...alter(k, t) });
  });
  return { pictures, truth };
}

function follow({ pictures }: Film): Trace {
  const follower = new PictureFollower(seedsIn(pictures[0], 0));
  pictures.forEach((picture, k) => follower.push(picture, k / fps));
  const { disc } = chooseDisc(follower.finish())!;
  return assembleTrace(disc.measurements, disc.rim);
}

/** Errors in pixels against truth, of samples that are not lost. */
function errorsOf(trace: Trace, truth: Film['truth']): number[] {
  return trace.samples.flatMap((s, k) =>
    s.state === 'lost' ? [] : [Math.hypot(s.xPx - truth[k].xPx, s.yPx - truth[k].yPx)],
  );
}
const rms = (values: number[]): number => Math.sqrt(values.reduce((s, v) => s + v * v, 0) / values.length);

describe('a disc followed through pictures', () => {
  it('is found by itself and followed to a tenth of a pixel, motion blur and all', () => {
    const scene = film(80);
    const trace = follow(scene);
    expect(trace.samples.every((s) => s.state === 'seen')).toBe(true);
    expect(rms(errorsOf(trace, scene.truth))).toBeLessThan(0.1);
    expect(Math.abs(trace.rim.aPx - radius)).toBeLessThan(0.3);
    expect(Math.abs(trace.rim.bPx - radius)).toBeLessThan(0.3);
  });

  it('does not mind lights that dim and flicker', () => {
    const scene = film(80, (k) => ({ brightness: -0.4 * k + 6 * Math.sin(k), contrast: 1 - 0.004 * k }));
    const trace = follow(scene);
    expect(trace.samples.every((s) => s.state === 'seen')).toBe(true);
    expect(rms(errorsOf(trace, scene.truth))).toBeLessThan(0.15);
  });

  it('bridges a gap of 0.4 s and says that it did', () => {
    const hidden = (k: number): boolean => k >= 30 && k < 42;
    const scene = film(80, (k) => (hidden(k) ? { occluder: () => true } : {}));
    const trace = follow(scene);
    trace.samples.forEach((s, k) => expect(s.state, `frame ${k}`).toBe(hidden(k) ? 'bridged' : 'seen'));
    const inGap = trace.samples.slice(30, 42);
    for (const [i, s] of inGap.entries()) {
      const off = Math.hypot(s.xPx - scene.truth[30 + i].xPx, s.yPx - scene.truth[30 + i].yPx);
      expect(s.confidence).toBe(0);
      expect(off).toBeLessThan(3 * Math.sqrt(s.varXPx2 + s.varYPx2) + 0.5);
    }
    expect(Math.sqrt(inGap[6].varYPx2)).toBeGreaterThan(5 * Math.sqrt(trace.samples[20].varYPx2));
  });

  it('is lost when it stays away, and found again when it comes back', () => {
    const hidden = (k: number): boolean => k >= 30 && k < 64;
    const scene = film(100, (k) => (hidden(k) ? { occluder: () => true } : {}));
    const trace = follow(scene);
    for (let k = 30; k < 64; k++) {
      expect(trace.samples[k].state).toBe('lost');
      expect(trace.samples[k].xPx).toBeNaN();
    }
    expect(trace.samples.slice(72).every((s) => s.state === 'seen')).toBe(true);
    expect(rms(errorsOf(trace, scene.truth))).toBeLessThan(0.3);
  });

  it('stops honestly when the bar leaves for good', () => {
    const scene = film(90, (k) => (k >= 50 ? { occluder: () => true } : {}));
    const trace = follow(scene);
    expect(trace.samples.slice(50).every((s) => s.state === 'lost' && s.confidence === 0)).toBe(true);
    expect(trace.samples.slice(0, 50).every((s) => s.state === 'seen')).toBe(true);
  });

  it('states covariances that its errors fit', () => {
    const scene = film(80);
    const trace = follow(scene);
    const z2 = trace.samples.map((s, k) => (s.yPx - scene.truth[k].yPx) ** 2 / s.varYPx2);
    const scale = Math.sqrt(z2.reduce((a, b) => a + b, 0) / z2.length);
    expect(scale).toBeLessThan(2);
    expect(scale).toBeGreaterThan(0.1);
  });
});

describe('discAt', () => {
  const { pictures, truth } = film(1);

  it('finds the rim round the point that the user gave', () => {
    const rim = discAt(pictures[0], truth[0].xPx + 6, truth[0].yPx - 5)!;
    expect(Math.hypot(rim.xPx - truth[0].xPx, rim.yPx - truth[0].yPx)).toBeLessThan(0.15);
    expect(Math.abs(rim.aPx - radius)).toBeLessThan(0.3);
  });

  it('has no answer beside the disc', () => {
    expect(discAt(pictures[0], 200, 215)).toBeNull();
  });
});
