import { execFileSync } from 'node:child_process';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { decodeFrames } from '../../../electron/media/decode.ts';
import { findTools } from '../../../electron/media/find-ffmpeg.ts';
import { picturesBackward } from '../../../electron/tracing/follow-backward.ts';
import { PassedPictures } from '../../../electron/tracing/passed-pictures.ts';

const { ffmpeg } = findTools();
const pictureBytes = 64 * 48;
const decoding = {
  ffmpeg,
  width: 64,
  height: 48,
  bitDepth: 8,
  ring: Array.from({ length: 4 }, () => new Uint8Array(pictureBytes)),
};

describe('pictures gone through backward', () => {
  let folder: string;
  let file: string;
  beforeAll(async () => {
    folder = await mkdtemp(path.join(tmpdir(), 'lockstep-backward-'));
    file = path.join(folder, 'clip.mp4');
    execFileSync(ffmpeg, ['-v', 'error', '-f', 'lavfi', '-i', 'testsrc=s=64x48:r=30:d=1', '-g', '12', file]);
  });
  afterAll(() => rm(folder, { recursive: true, force: true }));

  it('are the clip’s own, whether none of them were kept, the first, or all', async () => {
    const ptsS: number[] = [];
    const pixels: Buffer[] = [];
    for await (const frame of decodeFrames(file, { ...decoding, ring: undefined })) {
      ptsS.push(frame.ptsS);
      pixels.push(Buffer.from(frame.image.data));
    }
    for (const keepable of [0, 7, 30]) {
      const passed = new PassedPictures(keepable * pictureBytes);
      try {
        pixels.forEach((each, frame) => passed.keep(frame, each));
        expect(passed.has(keepable - 1)).toBe(keepable > 0);
        expect(passed.has(keepable)).toBe(false);
        const clip = { file, decoding, ptsS, keyFrames: [0, 12, 24], passed, schedule: null };
        const frames: number[] = [];
        for await (const { frame, image } of picturesBackward(clip, 2, 26)) {
          frames.push(frame);
          expect(Buffer.compare(image.data, pixels[frame])).toBe(0);
        }
        expect(frames).toEqual(Array.from({ length: 24 }, (_, k) => 25 - k));
      } finally {
        passed.close();
      }
    }
  });
});
