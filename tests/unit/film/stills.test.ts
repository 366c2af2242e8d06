import { execFileSync } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { inputArguments } from '../../../electron/media/arguments.ts';
import { findTools } from '../../../electron/media/find-ffmpeg.ts';
import {
  makeStills,
  stillPasses,
  stillsJob,
  stretches,
  type StillsClip,
} from '../../../electron/media/stills.ts';
import { codeSize, stillsLuma, makeCodedClip, readCode, stampsOf, type CodedClip } from './coded-clip.ts';

const { ffmpeg, ffprobe } = findTools();
let folder: string;

const clips: Record<string, CodedClip & { name: string }> = {
  'even 30 fps': { name: 'even.mp4', fps: 30, frames: 120 },
  '120 fps': { name: 'fast.mov', fps: 120, frames: 200 },
  'variable rate': { name: 'uneven.mp4', fps: 30, frames: 120, stamp: 'N+0.3*sin(N)+floor(N/20)*2' },
  'a late start of time': { name: 'late.mkv', fps: 60, frames: 120, startS: 7.5 },
  'an odd name': { name: "-o'dd é力 %d,[a];b:c.mp4", fps: 25, frames: 60 },
};

function open(clip: CodedClip & { name: string }): StillsClip {
  const file = path.join(folder, clip.name);
  if (!existsSync(file)) makeCodedClip(ffmpeg, file, clip);
  return { path: file, ptsS: stampsOf(ffprobe!, file), ...codeSize, transfer: null };
}

beforeAll(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'stills test %d '));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('stills', () => {
  it.each(Object.keys(clips))('are the very frames asked for: %s', async (key) => {
    const clip = open(clips[key]);
    const { frames } = clips[key];
    expect(clip.ptsS).toHaveLength(frames);
    const wanted = [0, 1, 17, 49, 50, frames - 1];
    const out = path.join(folder, `out ${key}`);
    const requests = wanted.map((frame) => ({ frame, file: path.join(out, `f${frame}.jpg`) }));
    await makeStills(clip, requests, { ffmpeg });
    const stills = stillsLuma(
      ffmpeg,
      requests.map(({ file }) => file),
      256,
      144,
    );
    const codes = stills.map((luma) => readCode(luma, 256));
    expect(codes).toEqual(wanted);
    expect(readdirSync(out).sort()).toEqual(wanted.map((frame) => `f${frame}.jpg`).sort());
  });

  it('are mirrored and narrowed on request, never widened', async () => {
    const clip = open(clips['even 30 fps']);
    const mirrored = path.join(folder, 'mirrored.jpg');
    await makeStills(clip, [{ frame: 77, file: mirrored }], { ffmpeg, mirror: true, widthPx: 128 });
    const small = stillsLuma(ffmpeg, [mirrored], 128, 72);
    expect(small).toHaveLength(1);
    expect(readCode(small[0], 128, true)).toBe(77);
    const wide = path.join(folder, 'wide.jpg');
    await makeStills(clip, [{ frame: 3, file: wide }], { ffmpeg, widthPx: 4000 });
    expect(stillsLuma(ffmpeg, [wide], 256, 144)).toHaveLength(1);
  });

  it('are turned upright and made square as displayed', async () => {
    const file = path.join(folder, 'turned.mp4');
    makeCodedClip(ffmpeg, path.join(folder, 'flat.mp4'), { fps: 30, frames: 3 });
    execFileSync(ffmpeg, [
      ...['-v', 'error', '-y', '-i', path.join(folder, 'flat.mp4'), '-c', 'copy'],
      ...['-metadata:s:v', 'rotate=90', '-aspect', '32:9', file],
    ]);
    // 256 x 144 with pixels twice as wide as high, turned by 90 degrees: 144 x 512.
    const clip: StillsClip = {
      path: file,
      ptsS: stampsOf(ffprobe!, file),
      widthPx: 144,
      heightPx: 512,
      transfer: null,
    };
    const still = path.join(folder, 'turned.jpg');
    await makeStills(clip, [{ frame: 1, file: still }], { ffmpeg });
    const [luma] = stillsLuma(ffmpeg, [still], 144, 512);
    // The file asks for a quarter turn anticlockwise: the lowest bit goes from the left to the bottom.
    expect(luma[(512 - 144) * 144 + 72]).toBeGreaterThan(200);
    expect(luma[144 * 144 + 72]).toBeLessThan(60);
  });

  it('keep a wide dynamic range within an ordinary one', async () => {
    const file = path.join(folder, 'pq.mp4');
    execFileSync(ffmpeg, [
      ...['-v', 'error', '-y', '-f', 'lavfi', '-i', 'color=0xC0C0C0:s=64x64:r=30:d=0.2,format=yuv420p10le'],
      ...['-c:v', 'libx265', '-x265-params', 'log-level=none'],
      ...['-color_primaries', 'bt2020', '-color_trc', 'smpte2084', '-colorspace', 'bt2020nc', file],
    ]);
    const clip = { path: file, ptsS: stampsOf(ffprobe!, file), widthPx: 64, heightPx: 64 };
    const plain = path.join(folder, 'plain.jpg');
    const mapped = path.join(folder, 'mapped.jpg');
    await makeStills({ ...clip, transfer: null }, [{ frame: 1, file: plain }], { ffmpeg });
    await makeStills({ ...clip, transfer: 'smpte2084' }, [{ frame: 1, file: mapped }], { ffmpeg });
    const grey = (still: string): number => stillsLuma(ffmpeg, [still], 64, 64)[0][32 * 64 + 32];
    // A PQ signal of 0.75 stands for 983 cd/m2 (BT.2100), ten times an ordinary white.
    expect(Math.abs(grey(plain) - 192)).toBeLessThan(5);
    expect(grey(mapped)).toBeGreaterThan(240);
  });

  it('leave nothing behind when stopped before the start or on the way', async () => {
    const clip = open(clips['120 fps']);
    const out = path.join(folder, 'stopped');
    const requests = clip.ptsS.map((_, frame) => ({ frame, file: path.join(out, `${frame}.jpg`) }));
    const before = new AbortController();
    before.abort();
    await expect(makeStills(clip, requests, { ffmpeg, signal: before.signal })).rejects.toMatchObject({
      kind: 'stopped',
    });
    const during = new AbortController();
    const job = makeStills(clip, requests, { ffmpeg, signal: during.signal });
    setTimeout(() => during.abort(), 30);
    await expect(job).rejects.toMatchObject({ kind: 'stopped' });
    expect(existsSync(out)).toBe(false);
  });

  it('say which frame cannot be read', async () => {
    const clip = open(clips['even 30 fps']);
    const longer = { ...clip, ptsS: [...clip.ptsS, 9] };
    await expect(
      makeStills(longer, [{ frame: 120, file: path.join(folder, 'none.jpg') }], { ffmpeg }),
    ).rejects.toMatchObject({ kind: 'unusableFile', what: 'Frame 120 of the clip cannot be read.' });
  });

  it('do not open a list of other files under the name of a video', async () => {
    const list = path.join(folder, 'list.mp4');
    writeFileSync(list, `ffconcat version 1.0\nfile '${open(clips['even 30 fps']).path}'\n`);
    const clip: StillsClip = { path: list, ptsS: [0, 0.1], ...codeSize, transfer: null };
    await expect(
      makeStills(clip, [{ frame: 0, file: path.join(folder, 'list.jpg') }], { ffmpeg }),
    ).rejects.toMatchObject({ kind: 'unusableFile' });
  });
});

describe('the plan of a batch of stills', () => {
  const ptsS = [0, 0.1, 0.2, 0.3, 3, 3.1, 9];

  it('takes requests that are near one another in one pass, each frame once', () => {
    expect(stillPasses(ptsS, [5, 0, 3, 6, 0, 4])).toEqual([[0, 3], [4, 5], [6]]);
    expect(stillPasses(ptsS, [])).toEqual([]);
  });

  it('joins consecutive frames and parts them from others halfway', () => {
    const spans = stretches(ptsS, [0, 1, 3, 6]).flat();
    [-0.05, 0.15, 0.25, 1.65, 6.05, 11.95].forEach((timeS, i) => expect(spans[i]).toBeCloseTo(timeS, 12));
  });

  it('is an argument list that opens one local file as a video only', () => {
    const clip: StillsClip = { path: '-a b.mp4', ptsS, widthPx: 400, heightPx: 300, transfer: 'smpte2084' };
    const job = stillsJob(clip, [3], 'out 5%', { ffmpeg: 'ffmpeg', mirror: true, widthPx: 200 }, new Set());
    expect(job.inputs).toHaveLength(1);
    const [{ options, source }] = job.inputs;
    expect(source).toBe(`file:${path.resolve('-a b.mp4')}`);
    expect(options.slice(0, 2)).toEqual(['-nostdin', '-copyts']);
    expect(options.slice(2)).toEqual(inputArguments('-a b.mp4').slice(0, -2));
    expect(job.output).toBe(path.join('out 5%%', '%d.jpg'));
    const chain = job.options[job.options.indexOf('-vf') + 1];
    expect(chain).toBe(
      "settb=AVTB,trim=end=1.650000,select='between(t,0.250000,1.650000)'," +
        'scale=200:150:flags=area:out_color_matrix=bt601:out_range=pc,setsar=1,hflip',
    );
  });
});
