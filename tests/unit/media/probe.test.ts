import { createHash } from 'node:crypto';
import { chmodSync, copyFileSync, mkdirSync, readFileSync, truncateSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { decodeFrames } from '../../../electron/media/decode.ts';
import { probeClip } from '../../../electron/media/probe.ts';
import { readWithFfprobe } from '../../../electron/media/probe-ffprobe.ts';
import { readWithMediabunny } from '../../../electron/media/probe-mediabunny.ts';
import { summariseTiming } from '../../../shared-lib/motion/timing.ts';
import * as fixture from './fixtures.ts';

const folder = fixture.temporaryFolder();
const at = (name: string): string => path.join(folder, name);
const probe = (name: string) => probeClip(at(name), fixture.tools);
const ffprobe = fixture.tools.ffprobe ?? 'ffprobe';

fixture.paintClip(at('clip.mp4'), { more: ['-movflags', '+faststart'] });

/** Decodes as the program does, without probing: what ffmpeg alone makes of a file. */
async function decodeTimes(file: string): Promise<number[]> {
  const times: number[] = [];
  const options = { ffmpeg: fixture.tools.ffmpeg, width: 96, height: 64, bitDepth: 8 };
  for await (const { ptsS } of decodeFrames(file, options)) times.push(ptsS);
  return times;
}

describe('a probe', () => {
  it('says what the container says', async () => {
    const bytes = readFileSync(at('clip.mp4'));
    const { durationS, nominalFps, ...info } = await probe('clip.mp4');
    expect(info).toEqual({
      file: at('clip.mp4'),
      bytes: bytes.length,
      sha256: createHash('sha256').update(bytes).digest('hex'),
      container: 'mp4',
      codec: 'h264',
      bitDepth: 8,
      widthPx: 96,
      heightPx: 64,
      rotationDeg: 0,
      pixelAspect: 1,
      transfer: null,
      hasAudio: false,
      declaredFrames: 20,
      captureFps: null,
    });
    expect(durationS).toBeCloseTo(20 / 30, 5);
    expect(nominalFps).toBeCloseTo(30, 5);
  });

  const readable = [
    { name: 'plain.mp4', clip: {} },
    { name: 'plain.mov', clip: { fps: 240 } },
    { name: 'late.mp4', clip: { more: ['-output_ts_offset', '0.7'] } },
    { name: 'plain.mkv', clip: {} },
    { name: 'aspect.mp4', clip: { then: 'setsar=4/3' } },
    { name: 'hlg.mp4', clip: { more: ['-color_trc', 'arib-std-b67', '-color_primaries', 'bt2020'] } },
    { name: 'ten.mp4', clip: { codec: ['-c:v', 'libx264', '-pix_fmt', 'yuv420p10le'] } },
  ];
  it.each(readable)('reads $name alike by both readers', async ({ name, clip }) => {
    fixture.paintClip(at(name), clip);
    const own = await readWithMediabunny(at(name));
    const other = await readWithFfprobe(ffprobe, at(name));
    if (own === null || other === null) throw new Error('Not read');
    const { pixelAspect, durationS, nominalFps, ...rest } = own;
    expect(other).toMatchObject(rest);
    // One rounds the squared width to a whole pixel, the other knows the ratio.
    expect(pixelAspect).toBeCloseTo(other.pixelAspect, 2);
    // Matroska keeps milliseconds.
    expect(Math.abs(durationS - other.durationS)).toBeLessThan(0.0011);
    expect(Math.abs(nominalFps / other.nominalFps - 1)).toBeLessThan(0.002);
  });

  it('tells apart high dynamic range', async () => {
    fixture.paintClip(at('range.mp4'), { more: ['-color_trc', 'smpte2084', '-color_primaries', 'bt2020'] });
    expect((await probe('range.mp4')).transfer).toBe('smpte2084');
  });

  it('reads the capture rate a phone tagged, as text and as float32', async () => {
    const more = ['-movflags', 'use_metadata_tags', '-metadata', 'com.android.capture.fps=0240'];
    fixture.paintClip(at('slow.mp4'), { more });
    expect((await probe('slow.mp4')).captureFps).toBe(240);
    // As phones write it: data type 23, four bytes.
    const bytes = readFileSync(at('slow.mp4'));
    const textAt = bytes.lastIndexOf('0240');
    bytes.writeUInt32BE(23, textAt - 8);
    bytes.writeFloatBE(119.88, textAt);
    writeFileSync(at('slow-float.mp4'), bytes);
    expect((await probe('slow-float.mp4')).captureFps).toBeCloseTo(119.88, 4);
    const other = await readWithFfprobe(ffprobe, at('slow-float.mp4'));
    expect(other?.captureFps).toBeCloseTo(119.88, 4);
  });

  it('stops when it is told to', async () => {
    await expect(probeClip(at('clip.mp4'), fixture.tools, AbortSignal.abort())).rejects.toMatchObject({
      kind: 'stopped',
    });
  });
});

describe('a file that cannot be used', () => {
  const asRoot = process.getuid?.() === 0;
  const cases: { what: RegExp; name: string; make: (file: string) => void; skip?: boolean }[] = [
    { what: /^There is no file /, name: 'missing.mp4', make: () => undefined },
    { what: /^folder\.mp4 is a folder\.$/, name: 'folder.mp4', make: (file) => mkdirSync(file) },
    { what: /^empty\.mp4 is empty\.$/, name: 'empty.mp4', make: (file) => writeFileSync(file, '') },
    {
      what: /^locked\.mp4 may not be read\.$/,
      name: 'locked.mp4',
      skip: asRoot || process.platform === 'win32',
      make(file) {
        copyFileSync(at('clip.mp4'), file);
        chmodSync(file, 0);
      },
    },
    {
      what: /^text\.mp4 is not a video/,
      name: 'text.mp4',
      make: (file) => writeFileSync(file, 'Squat 140 x 3\n'.repeat(100)),
    },
    {
      what: /^noise\.mov is not a video|^noise\.mov is cut short/,
      name: 'noise.mov',
      make: (file) =>
        writeFileSync(file, Buffer.concat([Buffer.from('\0\0\0\x18ftypqt  '), Buffer.alloc(4000, 0x5a)])),
    },
    {
      what: /^sound\.m4a has no video in it\.$/,
      name: 'sound.m4a',
      make: (file) => fixture.runFfmpeg('-f', 'lavfi', '-i', 'sine=d=0.5', '-c:a', 'aac', file),
    },
    {
      what: /^still\.mp4 is no clip: it holds a single picture/,
      name: 'still.mp4',
      make: (file) => fixture.paintClip(file, { frames: 1 }),
    },
    {
      what: /^cut\.mp4 is cut short/,
      name: 'cut.mp4',
      make(file) {
        fixture.paintClip(file);
        truncateSync(file, 600);
      },
    },
  ];
  it.each(cases)('$name: one line what, one line what to do', async ({ name, make, what, skip }) => {
    if (skip) return;
    make(at(name));
    const failure = (await probe(name).catch((e: unknown) => e)) as {
      kind: string;
      what: string;
      advice: string;
    };
    expect(failure).toMatchObject({ name: 'Failure', kind: 'unusableFile' });
    expect(failure.what).toMatch(what);
    for (const line of [failure.what, failure.advice]) expect(line).toMatch(/^[A-Z][^\n]*\.$/i);
  });

  it('a single picture that no container counts is found by decoding', async () => {
    fixture.paintClip(at('still.mkv'), { frames: 1 });
    await expect(decodeTimes(at('still.mkv'))).rejects.toMatchObject({
      kind: 'unusableFile',
      what: 'still.mkv is no clip: it holds a single picture.',
    });
  });

  it('a file without one whole picture is found by decoding', async () => {
    const bytes = readFileSync(at('clip.mp4'));
    bytes.fill(0, bytes.indexOf('mdat') + 4);
    writeFileSync(at('blank.mp4'), bytes);
    await expect(decodeTimes(at('blank.mp4'))).rejects.toMatchObject({ kind: 'unusableFile' });
  });

  it('a clip cut in the middle gives what is left, and its timing says partial', async () => {
    fixture.paintClip(at('whole.mp4'), { more: ['-g', '1', '-movflags', '+faststart'] });
    const bytes = readFileSync(at('whole.mp4'));
    const mediaAt = bytes.indexOf('mdat');
    writeFileSync(at('half.mp4'), bytes.subarray(0, mediaAt + (bytes.length - mediaAt) * 0.9));
    const { declaredFrames } = await probe('half.mp4');
    const times = await decodeTimes(at('half.mp4'));
    expect(declaredFrames).toBe(20);
    expect(times.length).toBeGreaterThan(2);
    expect(times.length).toBeLessThan(20);
    expect(summariseTiming(times, declaredFrames).partial).toBe(true);
    expect(summariseTiming(await decodeTimes(at('whole.mp4')), 20).partial).toBe(false);
  });
});

describe('a list of other files under the name of a clip opens nothing', () => {
  const lists = {
    'playlist.mp4': () => `#EXTM3U\n#EXT-X-TARGETDURATION:1\n#EXTINF:1,\n${at('clip.mp4')}\n#EXT-X-ENDLIST\n`,
    'script.mp4': () => `ffconcat version 1.0\nfile 'clip.mp4'\n`,
    'address.mov': () => '#EXTM3U\n#EXTINF:1,\nhttp://127.0.0.1:9/clip.ts\n',
  };
  it.each(Object.entries(lists))('%s', async (name, text) => {
    writeFileSync(at(name), text());
    await expect(probe(name)).rejects.toMatchObject({ kind: 'unusableFile' });
    await expect(readWithFfprobe(ffprobe, at(name))).rejects.toMatchObject({ kind: 'unusableFile' });
    await expect(decodeTimes(at(name))).rejects.toMatchObject({ kind: 'unusableFile' });
  });

  it('though ffmpeg by itself would follow it', () => {
    writeFileSync(at('script.txt'), lists['script.mp4']());
    expect(() => fixture.runFfmpeg('-safe', '0', '-i', at('script.txt'), '-f', 'null', '-')).not.toThrow();
  });
});
