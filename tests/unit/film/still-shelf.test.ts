import { existsSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { findTools } from '../../../electron/media/find-ffmpeg.ts';
import { StillShelf } from '../../../electron/media/still-shelf.ts';
import type { StillsClip } from '../../../electron/media/stills.ts';
import { codeSize, makeCodedClip, readCode, stampsOf, stillsLuma } from './coded-clip.ts';

const { ffmpeg, ffprobe } = findTools();
const frames = 250;
const all = Array.from({ length: frames }, (_, frame) => frame);
let folder: string;
let clip: StillsClip;

beforeAll(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'still-shelf-'));
  const file = path.join(folder, 'long.mp4');
  makeCodedClip(ffmpeg, file, { fps: 60, frames });
  clip = { path: file, ptsS: stampsOf(ffprobe!, file), ...codeSize, transfer: null };
  vi.stubEnv('TMPDIR', folder);
});
afterAll(() => {
  vi.unstubAllEnvs();
  rmSync(folder, { recursive: true, force: true });
});

function codesOf(jpegs: readonly Buffer[]): number[] {
  const files = jpegs.map((jpeg, i) => {
    const file = path.join(folder, `read-${i}.jpg`);
    writeFileSync(file, jpeg);
    return file;
  });
  return stillsLuma(ffmpeg, files, 256, 144).map((luma) => readCode(luma, 256));
}

const madeIn = (): string[] =>
  readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter((name) =>
    /lockstep-pictures.*jpg$/.test(name),
  );

describe('the shelf of stills', () => {
  it('gives the very frames asked for, near and far, while others are made ahead at two widths', async () => {
    const shelf = new StillShelf(() => ffmpeg);
    const sha256 = 'a'.repeat(64);
    const [small, full] = await Promise.all(
      [256, null].map((width) => shelf.of(sha256, width, () => Promise.resolve(clip))),
    );
    small.prepare(all);
    full.prepare(all);
    const wanted = [249, 3, 200, 201, 120, 249];
    const near = await Promise.all(wanted.map((frame) => small.get(frame)));
    const far = await full.get(231);
    expect(codesOf(near)).toEqual(wanted);
    expect(codesOf([far])).toEqual([231]);
    // What rested goes on: in the end all of both are there.
    await vi.waitFor(() => expect(madeIn()).toHaveLength(2 * frames), { timeout: 60_000, interval: 100 });
    expect(codesOf([await full.get(0), await full.get(248), await small.get(77)])).toEqual([0, 248, 77]);
    await shelf.close();
    expect(madeIn()).toEqual([]);
  }, 90_000);

  it('gives what is asked for where its folder was cleared, and says where it takes nothing', async () => {
    const shelf = new StillShelf(() => ffmpeg);
    const [cleared, full] = await Promise.all(
      ['c', 'd'].map((letter) => shelf.of(letter.repeat(64), 256, () => Promise.resolve(clip))),
    );
    expect(codesOf([await cleared.get(5)])).toEqual([5]);
    await vi.waitFor(() => expect(madeIn().length).toBeGreaterThan(8));
    const [taken] = readdirSync(folder).filter((name) => name.startsWith('lockstep-pictures'));
    rmSync(path.join(folder, taken, 'c'.repeat(64)), { recursive: true });
    expect(codesOf([await cleared.get(5)])).toEqual([5]);
    // A file in the folder's place takes nothing in: each start fails, and whoever waits is told.
    const inTheWay = path.join(folder, taken, 'd'.repeat(64));
    writeFileSync(inTheWay, '');
    await expect(full.get(100)).rejects.toThrow('EEXIST');
    full.prepare(all);
    await expect(full.get(101)).rejects.toThrow('EEXIST');
    rmSync(inTheWay);
    expect(codesOf([await full.get(101)])).toEqual([101]);
    await shelf.close();
  }, 60_000);

  it('can be closed while a pass rests and another is waited for', async () => {
    const shelf = new StillShelf(() => ffmpeg);
    const [ahead, asked] = await Promise.all(
      [256, null].map((width) => shelf.of('b'.repeat(64), width, () => Promise.resolve(clip))),
    );
    ahead.prepare(all);
    await vi.waitFor(() => expect(madeIn().length).toBeGreaterThan(0), { timeout: 30_000, interval: 5 });
    const waiting = asked.get(240);
    const refused = expect(waiting).rejects.toThrow('closing');
    await shelf.close();
    await refused;
    expect(readdirSync(folder).filter((name) => name.startsWith('lockstep-pictures'))).toEqual([]);
    expect(existsSync(clip.path)).toBe(true);
  }, 60_000);
});
