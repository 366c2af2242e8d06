import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';
import type { Truth } from '../../../demo-data/truth/schema.ts';
import { probeClip } from '../../../electron/media/probe.ts';
import { trackClip } from '../../../electron/tracing/track-clip.ts';
import { tools } from '../media/fixtures.ts';

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
