import { readFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';
import type { Truth } from '../../../demo-data/truth/schema.ts';
import { probeClip } from '../../../electron/media/probe.ts';
import { trackClip } from '../../../electron/tracing/track-clip.ts';
import { h264, runFfmpeg, temporaryFolder, tools } from '../media/fixtures.ts';

const demo = (name: string): string => fileURLToPath(new URL(`../../../demo-data/${name}`, import.meta.url));
const file = demo('bench-practice.mp4');
const { frames } = JSON.parse(readFileSync(demo('bench-practice.truth.json'), 'utf8')) as Truth;

it('measures a disc that was found in the last pictures by how it looks in those before', async () => {
  const { px, py, pts_s, rim } = frames[frames.length - 8];
  const media = await probeClip(file, tools);
  const request = { file, ffmpeg: tools.ffmpeg, media, seed: { ptsS: pts_s, xPx: px, yPx: py } };
  const { trace } = await trackClip(request);
  expect(trace.samples.filter(({ state }) => state === 'seen').length).toBeGreaterThan(0.95 * frames.length);
  expect(trace.pose).toBeDefined();
  expect(Math.abs(trace.rim.aPx / rim.a_px - 1)).toBeLessThan(0.005);
}, 120_000);

it('doubts the size of a disc of which too little was seen for a pose', async () => {
  const short = path.join(temporaryFolder(), 'short.mp4');
  runFfmpeg('-i', file, '-t', '0.3', '-an', ...h264, short);
  const { px, py } = frames[0];
  const media = await probeClip(short, tools);
  const { trace } = await trackClip({
    file: short,
    ffmpeg: tools.ffmpeg,
    media,
    seed: { ptsS: 0, xPx: px, yPx: py },
  });
  expect(trace.pose).toBeUndefined();
  const { rim, rimSigma } = trace;
  for (const doubt of [rimSigma.aPx / rim.aPx, rimSigma.bPx / rim.bPx]) {
    expect(doubt).toBeGreaterThan(0.05);
    expect(doubt).toBeLessThan(0.1);
  }
}, 60_000);
