import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';
import type { TrackedFile } from '../../../electron/desk/calibrated-clip.ts';
import { trackFile } from '../../../electron/desk/follow-clip.ts';
import { findTools } from '../../../electron/media/find-ffmpeg.ts';
import { followAgain } from '../../../electron/tracing/follow-again.ts';
import { trackClip } from '../../../electron/tracing/track-clip.ts';
import { nothingSaid, type FixedPoint } from '../../../shared-lib/contract/review.ts';
import { stillCamera, type Trace, type TraceSample } from '../../../shared-lib/contract/trace.ts';
import { correctTrace, handSigmaPx, reachOf } from '../../../shared-lib/trace/corrections.ts';

const rim = { xPx: 0, yPx: 0, aPx: 100, bPx: 100, thetaRad: 0 };
const sample = (frame: number): TraceSample => ({
  frame,
  ptsS: frame / 30,
  xPx: 300 + frame,
  yPx: 400,
  varXPx2: 0.04,
  varYPx2: 0.04,
  covXYPx2: 0,
  rimRadiusPx: 100,
  confidence: 0.9,
  state: 'seen',
  camera: stillCamera,
});
const plain: Trace = {
  samples: Array.from({ length: 60 }, (_, frame) => sample(frame)),
  rim,
  rimSigma: { aPx: 0.3, bPx: 0.3 },
};

describe('correctTrace', () => {
  it('goes through a point that the pictures do not show, bridged a quarter of a second each way, and leaves the rest to the digit', () => {
    const point = { frame: 30, xPx: 345, yPx: 380 };
    const again = ([-1, 1] as const).map((step) => ({ point, step, places: null }));
    const { samples } = correctTrace(plain, [point], again);
    expect([samples[30].xPx, samples[30].yPx, samples[30].state]).toEqual([345, 380, 'seen']);
    expect(Math.sqrt(samples[30].varXPx2)).toBeCloseTo(1.4, 9);
    const near = samples.slice(23, 38).filter((_, i) => i !== 7);
    expect(new Set(near.map(({ state }) => state))).toEqual(new Set(['bridged']));
    // The way bends to the point without a jump.
    expect(Math.abs(samples[31].yPx - 380)).toBeLessThan(5);
    expect(samples.slice(0, 22)).toEqual(plain.samples.slice(0, 22));
    expect(samples.slice(39)).toEqual(plain.samples.slice(39));
  });

  it('shares the way between two points at the middle', () => {
    const points: FixedPoint[] = [
      { frame: 10, xPx: 0, yPx: 0 },
      { frame: 21, xPx: 0, yPx: 0 },
    ];
    expect(reachOf(points, points[0], 1, 60)).toBe(15);
    expect(reachOf(points, points[1], -1, 60)).toBe(16);
    expect([reachOf(points, points[0], -1, 60), reachOf(points, points[1], 1, 60)]).toEqual([0, 59]);
  });

  it('takes a hand for no surer than a pixel', () => {
    expect(handSigmaPx({ aPx: 40 })).toBe(1);
    expect(handSigmaPx({ aPx: 200 })).toBeCloseTo(2.8, 9);
  });
});

describe('following again on a clip', () => {
  const file = fileURLToPath(new URL('../../../demo-data/bench-practice.mp4', import.meta.url));
  const tools = findTools();
  const job = { signal: new AbortController().signal, onProgress: () => undefined };
  let tracked: TrackedFile;
  let truth: readonly { px: number; py: number }[];

  beforeAll(async () => {
    tracked = await trackFile(file, nothingSaid, tools, job, trackClip);
    const text = await readFile(file.replace('.mp4', '.truth.json'), 'utf8');
    truth = (JSON.parse(text) as { frames: { px: number; py: number }[] }).frames;
  }, 60_000);

  const again = (trace: Trace, points: FixedPoint[]): Promise<Trace> =>
    followAgain({ file, ffmpeg: tools.ffmpeg, media: tracked.media, trace, points });
  const offPx = ({ samples }: Trace, i: number): number =>
    Math.hypot(samples[i].xPx - truth[i].px, samples[i].yPx - truth[i].py);

  it('finds the disc again from one point in a stretch that went wrong, and no more than that stretch', async () => {
    const wrong: Trace = {
      ...tracked.trace,
      samples: tracked.trace.samples.map((s, i) =>
        i >= 60 && i < 90 ? { ...s, xPx: s.xPx + 70, yPx: s.yPx + 25 } : s,
      ),
    };
    const point = { frame: 72, xPx: truth[72].px + 1, yPx: truth[72].py - 1 };
    const right = await again(wrong, [point]);
    expect([right.samples[72].xPx, right.samples[72].yPx]).toEqual([point.xPx, point.yPx]);
    for (let i = 60; i < 90; i++) if (i !== 72) expect(offPx(right, i)).toBeLessThan(1);
    expect(right.samples.slice(0, 56)).toEqual(wrong.samples.slice(0, 56));
    expect(right.samples.slice(94)).toEqual(wrong.samples.slice(94));
  }, 30_000);

  it('fills a stretch in which the bar was lost', async () => {
    const lost = {
      xPx: NaN,
      yPx: NaN,
      varXPx2: NaN,
      varYPx2: NaN,
      covXYPx2: NaN,
      confidence: 0,
      state: 'lost',
    } as const;
    const wrong: Trace = {
      ...tracked.trace,
      samples: tracked.trace.samples.map((s, i) => (i >= 40 && i < 90 ? { ...s, ...lost } : s)),
    };
    const right = await again(wrong, [{ frame: 50, xPx: truth[50].px, yPx: truth[50].py }]);
    for (let i = 40; i < 90; i++) {
      expect(right.samples[i].state).toBe('seen');
      expect(offPx(right, i)).toBeLessThan(1);
    }
  }, 30_000);
});
