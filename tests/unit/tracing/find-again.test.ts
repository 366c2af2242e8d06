import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { deviation, range } from 'd3-array';
import { beforeAll, describe, expect, it } from 'vitest';
import type { Truth } from '../../../demo-data/truth/schema.ts';
import { decodeFrames } from '../../../electron/media/decode.ts';
import { Assistant } from '../../../electron/tracing/assistant.ts';
import { findAgain } from '../../../electron/tracing/find-again.ts';
import { settleClip } from '../../../electron/tracing/settle-clip.ts';
import { fitCameraPose } from '../../../shared-lib/camera/camera-pose.ts';
import type { CameraPose, Rim } from '../../../shared-lib/contract/trace.ts';
import { usualDiscRadiusM } from '../../../shared-lib/norms/discs.ts';
import { assembleTrace } from '../../../shared-lib/trace/assemble-trace.ts';
import { viewOf, type DiscView } from '../../../shared-lib/trace/disc-views.ts';
import { notMeasured, type DiscMeasurement } from '../../../shared-lib/trace/follow-disc.ts';
import type { Position } from '../../../shared-lib/trace/fuse-positions.ts';
import { tools } from '../media/fixtures.ts';

const demo = (name: string): string => fileURLToPath(new URL(`../../../demo-data/${name}`, import.meta.url));
const file = demo('bench-practice.mp4');
const { film, frames } = JSON.parse(readFileSync(demo('bench-practice.truth.json'), 'utf8')) as Truth;
const decoding = { ffmpeg: tools.ffmpeg, width: film.width_px, height: film.height_px, bitDepth: 8 };
const ptsS = frames.map(({ pts_s }) => pts_s);
const pxPerM = frames[0].rim.a_px / usualDiscRadiusM;
const variances = { varXPx2: 0.01, varYPx2: 0.01, covXYPx2: 0 };
const truePlace = (i: number): Position => ({ xPx: frames[i].px, yPx: frames[i].py, ...variances });
const rimAt = (i: number): Rim => {
  const { x_px, y_px, a_px, b_px, theta_rad } = frames[i].rim;
  return { xPx: x_px, yPx: y_px, aPx: a_px, bPx: b_px, thetaRad: theta_rad };
};
/** The bar comes down and turns round in it. */
const gap = { from: 90, to: 180 };
const isInGap = (i: number): boolean => i >= gap.from && i < gap.to;
const seen = new Map(range(frames.length).flatMap((i) => (isInGap(i) ? [] : [[i, truePlace(i)] as const])));

/** What is found in the gap, the frames in the order in which they are looked at, and how far off each is expected, pixels. */
async function lookedThrough(isHidden: (frame: number) => boolean) {
  const order: number[] = [];
  const offPx: number[] = [];
  const found = await findAgain(file, decoding, { ptsS, pxPerM }, [gap], seen, (i, image, expected) => {
    expect(image.width).toBe(film.width_px);
    order.push(i);
    if (isHidden(i)) return null;
    offPx.push(Math.hypot(expected.xPx - frames[i].px, expected.yPx - frames[i].py));
    return truePlace(i);
  });
  return { found: [...found.keys()], order, offPx };
}

describe('looking for a disc that was lost', () => {
  it('goes on from where it was last seen, each time where its motion leads', async () => {
    const { found, order, offPx } = await lookedThrough(() => false);
    expect(order).toEqual(range(gap.from, gap.to));
    expect(found).toEqual(order);
    expect(Math.max(...offPx)).toBeLessThan(0.05 * frames[0].rim.a_px);
  });

  it('goes on behind what hid it for less than it may coast', async () => {
    const { found, order } = await lookedThrough((i) => i >= 110 && i < 110 + 0.4 * film.fps);
    expect(order.slice(0, gap.to - gap.from)).toEqual(range(gap.from, gap.to));
    expect(found).toEqual(range(gap.from, gap.to).filter((i) => i < 110 || i >= 110 + 0.4 * film.fps));
  });

  it('comes back from where it is next seen where it stayed hidden for longer, up to what was found', async () => {
    const isHidden = (i: number): boolean => i >= 105 && i < 105 + 0.8 * film.fps;
    const { found, order } = await lookedThrough(isHidden);
    expect([...found].sort((a, b) => a - b)).toEqual(range(gap.from, gap.to).filter((i) => !isHidden(i)));
    expect(order.indexOf(gap.to - 1)).toBeLessThan(order.indexOf(gap.to - 2));
    const shown = order.filter((i) => !isHidden(i));
    expect(new Set(shown).size).toBe(shown.length);
  });

  it('looks at nothing where nothing was seen on either side', async () => {
    const order: number[] = [];
    const none = await findAgain(file, decoding, { ptsS, pxPerM }, [gap], new Map(), (i) => {
      order.push(i);
      return truePlace(i);
    });
    expect([none.size, order]).toEqual([0, []]);
  });
});

describe('settling a clip in which the disc was lost although it shows', () => {
  const picture = { widthPx: film.width_px, heightPx: film.height_px };
  const views: DiscView[] = [];
  let pose: CameraPose;
  beforeAll(async () => {
    for await (const { frame, image } of decodeFrames(file, decoding))
      if (frame % 8 === 0) views.push(viewOf(image, rimAt(frame), frame));
    pose = (await fitCameraPose(views, picture))!;
  });

  it('finds it again in all of a gap too long to be bridged, as truly as where it was followed', async () => {
    const measurements = frames.map(({ pts_s }, i): DiscMeasurement => {
      const { xPx, yPx } = rimAt(i);
      const nothing = notMeasured(pts_s);
      return isInGap(i) ? nothing : { ...nothing, ...variances, xPx, yPx, confidence: 0.9 };
    });
    expect(frames[gap.to].pts_s - frames[gap.from].pts_s).toBeGreaterThan(1.2);
    const trace = assembleTrace(measurements, rimAt(0));
    const kept = { piece: () => null, ptsS };
    const assistant = new Assistant(undefined);
    const settled = (await settleClip(
      file,
      decoding,
      kept,
      measurements,
      trace,
      { pose, views, media: { widthPx: film.width_px, heightPx: film.height_px, rotationDeg: 0 } },
      assistant,
      () => undefined,
    ))!;
    expect(settled).toHaveLength(frames.length);
    const off = (axis: 'x' | 'y') => (i: number) =>
      axis === 'x' ? settled[i].xPx - frames[i].px : settled[i].yPx - frames[i].py;
    const again = range(gap.from, gap.to).filter((i) => settled[i].confidence > 0);
    expect(again).toHaveLength(gap.to - gap.from);
    for (const axis of ['x', 'y'] as const) {
      const outside = range(frames.length)
        .filter((i) => !isInGap(i))
        .map(off(axis));
      expect(deviation(again, off(axis))).toBeLessThan(0.3);
      expect(deviation([...outside, ...again.map(off(axis))])).toBeLessThan(1.15 * deviation(outside)!);
    }
  });
});
