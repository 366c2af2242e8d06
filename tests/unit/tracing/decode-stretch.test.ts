import { execFileSync } from 'node:child_process';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { decodeFrames } from '../../../electron/media/decode.ts';
import { findTools } from '../../../electron/media/find-ffmpeg.ts';
import { decodeStretch, groupsBackward } from '../../../electron/tracing/decode-stretch.ts';
import { framesAt } from '../../../electron/tracing/schedule.ts';

const { ffmpeg } = findTools();

describe('a stretch of a clip whose clock ticks in milliseconds', () => {
  let folder: string;
  let file: string;
  beforeAll(async () => {
    folder = await mkdtemp(path.join(tmpdir(), 'lockstep-stretch-'));
    file = path.join(folder, 'uneven.mkv');
    execFileSync(ffmpeg, [
      ...['-v', 'error', '-f', 'lavfi', '-i', 'testsrc=s=64x48:r=30:d=2'],
      ...['-vf', "setpts='(N+floor(N/5))/30/TB'", '-fps_mode', 'passthrough', '-g', '12', file],
    ]);
  });
  afterAll(() => rm(folder, { recursive: true, force: true }));

  it('holds the very frames asked for, the first and the last of the clip too', async () => {
    const decoding = { ffmpeg, width: 64, height: 48, bitDepth: 8 };
    const ptsS: number[] = [];
    for await (const frame of decodeFrames(file, decoding)) ptsS.push(frame.ptsS);
    expect(ptsS).toHaveLength(60);
    for (const [from, to] of [
      [0, 1],
      [0, 3],
      [4, 6],
      [12, 13],
      [37, 44],
      [59, 60],
    ]) {
      // prettier-ignore
      const pictures = await decodeStretch(file, decoding, ptsS, { from, to });
      expect(pictures.map((picture) => picture.ptsS)).toEqual(ptsS.slice(from, to));
    }
  });

  it('is decoded backward in groups that begin with key frames, each holding its own frames', async () => {
    const decoding = { ffmpeg, width: 64, height: 48, bitDepth: 8 };
    const ptsS: number[] = [];
    const keyTimesS: number[] = [];
    for await (const frame of decodeFrames(file, decoding)) ptsS.push(frame.ptsS);
    for await (const frame of decodeFrames(file, { ...decoding, keyFramesOnly: 'by the decoder' }))
      keyTimesS.push(frame.ptsS);
    const keys = framesAt(ptsS, keyTimesS);
    expect(keys.slice(0, 4)).toEqual([0, 12, 24, 36]);
    for (const [known, most, begins] of [
      [keys, 30, [24, 0]],
      [keys, 12, [48, 36, 24, 12, 0]],
      [keys, 8, [48, 40, 36, 28, 24, 16, 12, 4, 0]],
      [[], 25, [29, 4, 0]],
    ] as const) {
      const groups = groupsBackward(ptsS, known, 0, 54, most);
      expect(groups.map(({ from }) => from)).toEqual(begins);
      const room: Uint8Array[] = [];
      let end = 54;
      for (const group of groups) {
        const pictures = await decodeStretch(file, decoding, ptsS, group, room);
        expect(pictures.map((picture) => picture.ptsS)).toEqual(ptsS.slice(group.from, end));
        end = group.from;
      }
    }
  });
});
