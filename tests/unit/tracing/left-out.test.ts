import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';
import { decodeFrames } from '../../../electron/media/decode.ts';
import { packetTimes } from '../../../electron/media/packet-times.ts';
import { probeClip } from '../../../electron/media/probe.ts';
import { clipTimes } from '../../../electron/media/clip-times.ts';
import { trackClip, type TrackedClip } from '../../../electron/tracing/track-clip.ts';
import { KeyFrameScan, type ScannedStretch } from '../../../shared-lib/trace/key-frame-scan.ts';
import * as fixture from '../media/fixtures.ts';

const { ffmpeg } = fixture.tools;
const source = fileURLToPath(new URL('../../../demo-data/bench-practice.mp4', import.meta.url));
const folder = fixture.temporaryFolder();

/** Films made of the demo's bench press at 30 frames a second, held still and grainy where nothing happens. */
function film(name: string, filters: string, { keyFrameEvery = 30, widthPx = 640 } = {}): string {
  const file = path.join(folder, `${name}.mp4`);
  const grain = 'noise=alls=2:allf=t';
  const chain = `[0:v]scale=${widthPx}:-2,${filters},${grain}[out]`;
  const codec = ['-c:v', 'libx264', '-preset', 'ultrafast', '-crf', '20', '-pix_fmt', 'yuv420p'];
  const keys = ['-g', String(keyFrameEvery), '-sc_threshold', '0'];
  fixture.runFfmpeg('-i', source, '-filter_complex', chain, '-map', '[out]', ...codec, ...keys, file);
  return file;
}

const held = (beforeS: number, afterS: number): string =>
  `tpad=start_duration=${beforeS}:start_mode=clone:stop_duration=${afterS}:stop_mode=clone`;

/** The bar goes down and comes back the very way it went, from and to the very same picture, in 1.2 s. */
const quickRep = (beforeS: number): string =>
  [
    'trim=start_frame=80:end_frame=165,setpts=PTS-STARTPTS,split[a][b];[b]reverse[r];[a][r]concat',
    `setpts=PTS*0.265,fps=30,${held(beforeS, 8)}`,
  ].join(',');

async function scanned(file: string): Promise<ScannedStretch[]> {
  const media = await probeClip(file, fixture.tools);
  const scan = new KeyFrameScan();
  const size = { width: media.widthPx, height: media.heightPx, bitDepth: media.bitDepth };
  for await (const { image, ptsS } of decodeFrames(file, {
    ffmpeg,
    ...size,
    keyFramesOnly: 'by the decoder',
  }))
    scan.look(image, ptsS);
  return scan.leftOut(media.durationS);
}

describe('what is left out of films with key frames a second apart', () => {
  it.each([0, 0.25, 0.5, 0.75])('is nothing of a rep of 1.2 s that begins %s s later', async (laterS) => {
    const beforeS = 9 + laterS;
    const leftOut = await scanned(film(`quick-${laterS}`, quickRep(beforeS)));
    // The bar begins to move 0.15 s after the film that was held.
    const [fromS, toS] = [beforeS + 0.15, beforeS + 1.35];
    expect(leftOut).toHaveLength(2);
    for (const stretch of leftOut) expect(stretch.toS <= fromS - 2 || stretch.fromS >= toS + 2).toBe(true);
  });

  it('is nothing where key frames are two seconds apart, or there is one', async () => {
    expect(await scanned(film('sparse', quickRep(9), { keyFrameEvery: 60 }))).toEqual([]);
    expect(await scanned(film('one', quickRep(9), { keyFrameEvery: 9999 }))).toEqual([]);
  });

  it('is nothing of a film from the hand', async () => {
    const hand = 'crop=620:350:10+3*sin(n/5):5+2*sin(n/7)';
    expect(await scanned(film('hand', `${quickRep(9)},${hand}`))).toEqual([]);
  });
});

describe('a clip of two reps far apart', () => {
  const untilS = (232 - 70) / 30;
  const restS = 18;
  let file: string;
  let [all, some]: [TrackedClip | null, TrackedClip | null] = [null, null];

  beforeAll(async () => {
    file = film(
      'apart',
      `trim=start_frame=70:end_frame=232,setpts=PTS-STARTPTS,split[a][b];[a]${held(0, restS)}[c];[c][b]concat`,
      { widthPx: 960 },
    );
    const media = await probeClip(file, fixture.tools);
    const request = { file, ffmpeg, media, seed: null };
    some = await trackClip(request);
    all = await trackClip({ ...request, whole: true });
  }, 180_000);

  it('leaves out some of the rest between, and has a sample for each frame all the same', () => {
    const { samples, leftOut } = some!.trace;
    expect(all!.trace.leftOut).toBeUndefined();
    expect(samples.map(({ ptsS }) => ptsS)).toEqual(all!.trace.samples.map(({ ptsS }) => ptsS));
    expect(leftOut).toHaveLength(1);
    const [{ from, to }] = leftOut!;
    expect(samples[from].ptsS).toBeGreaterThanOrEqual(untilS + 2);
    expect(samples[to].ptsS).toBeLessThanOrEqual(untilS + restS - 2);
    expect(to - from).toBeGreaterThan(30 * 8);
    expect(new Set(samples.slice(from, to).map(({ state }) => state))).toEqual(new Set(['lost']));
    expect(samples.filter(({ state }) => state === 'lost')).toHaveLength(to - from);
  });

  it('follows both reps as when all is followed', () => {
    const [{ from, to }] = some!.trace.leftOut!;
    const apart = some!.trace.samples.flatMap(({ xPx, yPx }, i) => {
      const other = all!.trace.samples[i];
      return i >= from && i < to ? [] : [Math.hypot(xPx - other.xPx, yPx - other.yPx)];
    });
    expect(Math.max(...apart)).toBeLessThan(0.1);
    // The pose is fitted to the stillest pictures of all that were looked at.
    expect(Math.abs(some!.trace.rim.aPx / all!.trace.rim.aPx - 1)).toBeLessThan(0.002);
    expect(some!.trace.pose?.thicknessRadii).toBeCloseTo(all!.trace.pose!.thicknessRadii, 2);
  });

  it('knows the time of each frame without decoding it', async () => {
    const media = await probeClip(file, fixture.tools);
    const { ptsS: told } = (await packetTimes(file, ffmpeg))!;
    const decoded = await clipTimes(file, media, ffmpeg);
    expect(told).toHaveLength(decoded.length);
    told.forEach((t, i) => expect(t).toBeCloseTo(decoded[i], 6));
  });
});
