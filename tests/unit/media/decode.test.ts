import { copyFileSync, existsSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { decodeFrames } from '../../../electron/media/decode.ts';
import { probeClip } from '../../../electron/media/probe.ts';
import * as fixture from './fixtures.ts';

const folder = fixture.temporaryFolder();
const at = (name: string): string => path.join(folder, name);

const x265 = (format: string): string[] => [
  ...['-c:v', 'libx265', '-preset', 'ultrafast', '-crf', '10', '-x265-params', 'log-level=error'],
  ...['-pix_fmt', format],
];
const vp9 = ['-c:v', 'libvpx-vp9', '-crf', '15', '-b:v', '0', '-deadline', 'realtime', '-cpu-used', '8'];
const av1 = ['-c:v', 'libsvtav1', '-preset', '12', '-crf', '20'];
const mjpeg = ['-c:v', 'mjpeg', '-q:v', '2'];

/** Container and coding of a clip, and what a probe must say of it. */
const kinds: {
  file: string;
  codec: string[];
  says: { container: string; codec: string; bitDepth: number };
}[] = [
  { file: 'h264.mp4', codec: fixture.h264, says: { container: 'mp4', codec: 'h264', bitDepth: 8 } },
  { file: 'h264.mov', codec: fixture.h264, says: { container: 'mov', codec: 'h264', bitDepth: 8 } },
  { file: 'h264.mkv', codec: fixture.h264, says: { container: 'matroska', codec: 'h264', bitDepth: 8 } },
  { file: 'h264.avi', codec: fixture.h264, says: { container: 'avi', codec: 'h264', bitDepth: 8 } },
  { file: 'hevc.mp4', codec: x265('yuv420p'), says: { container: 'mp4', codec: 'hevc', bitDepth: 8 } },
  { file: 'hevc10.mov', codec: x265('yuv420p10le'), says: { container: 'mov', codec: 'hevc', bitDepth: 10 } },
  { file: 'vp9.webm', codec: vp9, says: { container: 'webm', codec: 'vp9', bitDepth: 8 } },
  { file: 'av1.mp4', codec: av1, says: { container: 'mp4', codec: 'av1', bitDepth: 8 } },
  { file: 'av1.webm', codec: av1, says: { container: 'webm', codec: 'av1', bitDepth: 8 } },
  { file: 'mjpeg.avi', codec: mjpeg, says: { container: 'avi', codec: 'mjpeg', bitDepth: 8 } },
  { file: 'mjpeg.mov', codec: mjpeg, says: { container: 'mov', codec: 'mjpeg', bitDepth: 8 } },
];

/** Frames arrive with their own time stamps and their own pictures. */
async function expectOwnTimesAndPictures(
  file: string,
  {
    levels,
    within = 3,
    times = fixture.ffprobeTimes(file),
  }: { levels: number[]; within?: number; times?: number[] },
  options: Parameters<typeof fixture.decodePainted>[1] = {},
): Promise<void> {
  const frames = await fixture.decodePainted(file, options);
  expect(frames).toHaveLength(levels.length);
  expect(times).toHaveLength(levels.length);
  frames.forEach(({ ptsS, level }, i) => {
    // ffprobe prints microseconds.
    expect(Math.abs(ptsS - times[i]), `time of frame ${i}`).toBeLessThan(1.1e-6);
    expect(Math.abs(level - levels[i]), `picture ${i} is ${level}, not ${levels[i]}`).toBeLessThan(within);
  });
}

const levels = (from: number, to: number): number[] =>
  Array.from({ length: to - from }, (_, i) => fixture.levelOf(from + i));

describe('every kind of clip', () => {
  it.each(kinds)('$file gives each frame its own time and picture', async ({ file, codec, says }) => {
    if (!fixture.hasEncoder(codec[1])) return;
    fixture.paintClip(at(file), { codec });
    expect(await probeClip(at(file), fixture.tools)).toMatchObject({ ...says, widthPx: 96, heightPx: 64 });
    // MJPEG is full range: its levels are stretched from 16..235 to 0..255.
    const stretch =
      codec === mjpeg ? (v: number): number => ((v - 16) * 255) / 219 : (v: number): number => v;
    await expectOwnTimesAndPictures(at(file), { levels: levels(0, 20).map(stretch) });
  });

  it.each([24, 30000 / 1001, 60, 120, 240])('%f frames per second keep their times', async (fps) => {
    const file = at(`rate-${fps.toFixed(0)}.mp4`);
    fixture.paintClip(file, { fps });
    await expectOwnTimesAndPictures(file, { levels: levels(0, 20) });
    expect((await probeClip(file, fixture.tools)).nominalFps).toBeCloseTo(fps, 1);
  });

  it('uneven frame times stay as they are, and no frame is invented', async () => {
    const file = at('uneven.mp4');
    const then = "settb=1/90000,setpts='90000*(N/30+0.012*sin(N)+if(gt(N,9),0.35,0))'";
    fixture.paintClip(file, { then, more: ['-enc_time_base', '1/90000', '-video_track_timescale', '90000'] });
    await expectOwnTimesAndPictures(file, { levels: levels(0, 20) });
  });

  it.each(['late.mp4', 'late.mkv', 'late.mov'])(
    '%s, which does not start at 0, keeps file time',
    async (name) => {
      fixture.paintClip(at(name), { more: ['-output_ts_offset', '1.5'] });
      await expectOwnTimesAndPictures(at(name), { levels: levels(0, 20) });
      expect((await fixture.decodePainted(at(name)))[0].ptsS).toBeCloseTo(1.5, 2);
      expect((await probeClip(at(name), fixture.tools)).durationS).toBeCloseTo(20 / 30, 2);
    },
  );

  it('frames before an edit list are neither decoded nor declared', async () => {
    fixture.paintClip(at('whole.mp4'));
    fixture.runFfmpeg('-ss', '0.4', '-i', at('whole.mp4'), '-c', 'copy', at('edit.mp4'));
    await expectOwnTimesAndPictures(at('edit.mp4'), { levels: levels(12, 20) });
    expect((await probeClip(at('edit.mp4'), fixture.tools)).declaredFrames).toBe(8);
  });

  it('a clip with sound has the same pictures', async () => {
    const file = at('sound.mp4');
    fixture.paintClip(at('silent.mp4'));
    const sound = ['-f', 'lavfi', '-i', 'sine=d=0.6'];
    fixture.runFfmpeg(...sound, '-i', at('silent.mp4'), '-c:v', 'copy', '-c:a', 'aac', file);
    expect((await probeClip(file, fixture.tools)).hasAudio).toBe(true);
    expect((await probeClip(at('silent.mp4'), fixture.tools)).hasAudio).toBe(false);
    await expectOwnTimesAndPictures(file, { levels: levels(0, 20) });
  });
});

describe('what a name may hold', () => {
  const painted = (): string => {
    const file = at('plain.mp4');
    if (!existsSync(file)) fixture.paintClip(file, { frames: 3 });
    return file;
  };
  const names = [
    'two words',
    `"it's"`,
    'café',
    '力',
    '100%d',
    'a#b?c',
    '-dash',
    'http:x',
    '[a]{b},c;d',
    '$(x)&',
  ];
  it.each(names)('%s', async (name) => {
    const file = at(`${name}.mp4`);
    copyFileSync(painted(), file);
    const info = await probeClip(file, fixture.tools);
    expect(info).toMatchObject({ file, declaredFrames: 3 });
    expect(await fixture.decodePainted(file)).toHaveLength(3);
  });

  it('a path that is relative and begins with a dash', async () => {
    copyFileSync(painted(), at('-y.mp4'));
    const file = path.relative(process.cwd(), at('-y.mp4'));
    expect(await fixture.decodePainted(file)).toHaveLength(3);
  });
});

describe('the picture as displayed', () => {
  const corners = { 0: [0, 0], 90: [0.5, 0], 180: [0.5, 0.5], 270: [0, 0.5] } as const;
  it.each([0, 90, 180, 270] as const)(
    'a clip to be turned by %d degrees clockwise comes turned',
    async (turn) => {
      for (const ending of ['mp4', 'mov']) {
        const [from, to] = [at(`straight.${ending}`), at(`turned-${turn}.${ending}`)];
        fixture.paintClip(from, { frames: 3 });
        fixture.turnClip(from, to, turn);
        const info = await probeClip(to, fixture.tools);
        const size = turn % 180 === 0 ? { widthPx: 96, heightPx: 64 } : { widthPx: 64, heightPx: 96 };
        expect(info).toMatchObject({ rotationDeg: turn, ...size });
        const { ffmpeg } = fixture.tools;
        const options = { ffmpeg, width: info.widthPx, height: info.heightPx, bitDepth: info.bitDepth };
        for await (const { image } of decodeFrames(to, options)) {
          expect([image.width, image.height]).toEqual([size.widthPx, size.heightPx]);
          for (const [x, y] of Object.values(corners)) {
            const isWhite = x === corners[turn][0] && y === corners[turn][1];
            const mean = fixture.meanOf(image, x + 0.1, y + 0.1, x + 0.4, y + 0.4);
            if (isWhite) expect(mean).toBeGreaterThan(225);
            else expect(mean).toBeLessThan(60);
          }
        }
      }
    },
  );

  it.each([
    { aspect: '4/3', size: [128, 64] },
    { aspect: '3/4', size: [96, 85] },
  ])('pixels of $aspect become square, nothing thrown away', async ({ aspect, size }) => {
    for (const ending of ['mp4', 'mkv']) {
      const file = at(`aspect-${aspect.replace('/', '-')}.${ending}`);
      fixture.paintClip(file, { then: `setsar=${aspect}` });
      const [{ width, height }] = await fixture.decodePainted(file);
      expect([width, height]).toEqual(size);
      await expectOwnTimesAndPictures(file, { levels: levels(0, 20) });
    }
  });

  it('a smaller picture has the edges of the larger one where the formula says', async () => {
    const file = at('wide.mp4');
    fixture.paintClip(file, { frames: 2, widthPx: 480, heightPx: 270 });
    const options = { ffmpeg: fixture.tools.ffmpeg, width: 480, height: 270, bitDepth: 8, maxSidePx: 160 };
    for await (const { image, frame } of decodeFrames(file, options)) {
      expect([image.width, image.height]).toEqual([160, 90]);
      // The white corner ends between columns 239 and 240, at 239.5; (239.5 + 0.5) / 3 - 0.5 = 79.5.
      const row = image.data.subarray(20 * 160, 21 * 160);
      const level = fixture.levelOf(frame);
      const edge = row.reduce((sum, v) => sum + (v - level) / (fixture.cornerLevel - level), 0) - 0.5;
      expect(edge).toBeCloseTo(79.5, 0);
      expect(row[78]).toBeGreaterThan(225);
      expect(row[81]).toBeLessThan(50);
    }
  });
});

describe("levels are the file's own", () => {
  const ramp = (format: string, lum: string, codec: string[], file: string): string[] => [
    ...[
      '-f',
      'lavfi',
      '-i',
      `color=gray:s=256x32:r=30:d=0.1,format=${format},geq=lum='${lum}':cb=128:cr=128`,
    ],
    ...[...codec, '-pix_fmt', format, file],
  ];
  const x265lossless = (range: string): string[] => [
    ...['-c:v', 'libx265', '-x265-params', `log-level=error:lossless=1:range=${range}`],
    ...['-color_range', range === 'full' ? 'pc' : 'tv'],
  ];
  const whole = Array.from({ length: 256 }, (_, x) => x);
  const cases = [
    { name: '8 bit studio range', format: 'yuv420p', lum: 'X', codec: ['-c:v', 'libx264', '-qp', '0'] },
    {
      name: '8 bit full range',
      format: 'yuv420p',
      lum: 'X',
      codec: ['-c:v', 'libx264', '-qp', '0', '-color_range', 'pc'],
    },
    { name: '8 bit 4:4:4', format: 'yuv444p', lum: 'X', codec: ['-c:v', 'ffv1'] },
    { name: 'grey', format: 'gray', lum: 'X', codec: ['-c:v', 'ffv1'] },
    { name: '10 bit studio range', format: 'yuv420p10le', lum: 'X*4+3', codec: x265lossless('limited') },
    { name: '10 bit full range', format: 'yuv420p10le', lum: 'X*4+3', codec: x265lossless('full') },
    { name: '12 bit 4:2:2', format: 'yuv422p12le', lum: 'X*16+9', codec: ['-c:v', 'ffv1'] },
  ];
  it.each(cases)(
    '$name: every level from 0 to 255 arrives as it is',
    async ({ name, format, lum, codec }) => {
      const file = at(`${name.replaceAll(/\W/g, '-')}.mkv`);
      fixture.runFfmpeg(...ramp(format, lum, codec, file));
      const { bitDepth } = await probeClip(file, fixture.tools);
      for await (const { image } of decodeFrames(file, {
        ffmpeg: fixture.tools.ffmpeg,
        width: 256,
        height: 32,
        bitDepth,
      })) {
        expect([...image.data.subarray(256 * 16, 256 * 17)]).toEqual(whole);
      }
    },
  );

  it.each(['rgb24', 'bgr24', 'nv12'])('%s pictures give their luma', async (format) => {
    const file = at(`${format}.avi`);
    fixture.paintClip(file, { frames: 5, codec: ['-c:v', 'rawvideo', '-pix_fmt', format] });
    await expectOwnTimesAndPictures(file, { levels: levels(0, 5) });
  });
});

describe('part of a clip', () => {
  const names = ['gop.mp4', 'gop.mkv', 'gop.avi', 'late-gop.mp4', 'late-gop.mkv'];
  it.each(names)('%s: a stretch is decoded to the frame, in file time', async (name) => {
    const late = name.startsWith('late') ? ['-output_ts_offset', '2.5'] : [];
    fixture.paintClip(at(name), { frames: 24, fps: 6, more: ['-g', '5', ...late] });
    const times = fixture.ffprobeTimes(at(name), { fps: 6 });
    for (const [from, to] of [
      [0, 4],
      [7, 8],
      [5, 15],
      [11, 24],
    ]) {
      const toS = to < 24 ? times[to] : undefined;
      const expected = { levels: levels(from, to), times: times.slice(from, to) };
      await expectOwnTimesAndPictures(at(name), expected, { fromS: times[from], toS });
    }
  });

  it.each([
    { file: 'keys.mp4', codec: fixture.h264 },
    { file: 'keys.mkv', codec: fixture.h264 },
    { file: 'keys.mov', codec: x265('yuv420p') },
    { file: 'keys.webm', codec: vp9 },
    { file: 'keys-av1.mp4', codec: av1 },
  ])('$file: only the key frames', async ({ file, codec }) => {
    if (!fixture.hasEncoder(codec[1])) return;
    fixture.paintClip(at(file), { frames: 24, codec, more: ['-g', '6'] });
    const times = fixture.ffprobeTimes(at(file), { onlyKeys: true });
    expect(times.length).toBeGreaterThan(2);
    const expected = times.map((ptsS) => fixture.levelOf(Math.round(ptsS * 30)));
    await expectOwnTimesAndPictures(
      at(file),
      { levels: expected, times },
      { keyFramesOnly: 'by the decoder' },
    );
  });

  it('a stretch outside the clip is a failure, not nothing', async () => {
    fixture.paintClip(at('short.mp4'));
    await expect(fixture.decodePainted(at('short.mp4'), { fromS: 60 })).rejects.toMatchObject({
      kind: 'unusableFile',
      what: 'short.mp4 has no picture in the stretch asked for.',
    });
  });
});
