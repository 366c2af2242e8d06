import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { beforeAll, describe, expect, it } from 'vitest';
import { decodeFrames, ringSize } from '../../../electron/media/decode.ts';
import { decodeAhead, picturesInRing } from '../../../electron/tracing/decode-ahead.ts';
import { giveBack, loadKernels } from '../../../electron/tracing/load-kernels.ts';
import * as fixture from '../media/fixtures.ts';

const { ffmpeg } = fixture.tools;
const folder = fixture.temporaryFolder();
const file = path.join(folder, 'painted.mp4');
const frames = 40;
const size = { width: 96, height: 64 };
const decoding = (signal?: AbortSignal) => ({
  ...{ ffmpeg, ...size, bitDepth: 8, signal },
  ring: loadKernels(96 * 64, picturesInRing(96 * 64)),
});

beforeAll(() => fixture.paintClip(file, { frames }));

describe('decoding ahead of whoever looks', () => {
  it.each([
    ['at once', 0],
    ['slowly', 5],
  ])(
    'gives every picture and time of the clip, each valid for three more, looked at %s',
    async (_, restMs) => {
      const plain: { ptsS: number; data: Uint8Array }[] = [];
      for await (const { ptsS, image } of decodeFrames(file, { ffmpeg, ...size, bitDepth: 8 }))
        plain.push({ ptsS, data: image.data.slice() });
      const held: Uint8Array[] = [];
      for await (const { frame, ptsS, image } of decodeAhead(file, decoding())) {
        held.push(image.data);
        expect(ptsS).toBe(plain[frame].ptsS);
        if (restMs > 0) await wait(restMs);
        for (let back = 0; back < Math.min(ringSize, held.length); back++)
          expect(Buffer.compare(held[frame - back], plain[frame - back].data)).toBe(0);
      }
      expect(held).toHaveLength(frames);
      expect(new Set(held).size).toBe(picturesInRing(96 * 64));
    },
  );

  it('can be left early, and stopped', async () => {
    for await (const { frame } of decodeAhead(file, decoding())) if (frame === 3) break;
    const stop = new AbortController();
    const looked: number[] = [];
    const looking = async (): Promise<void> => {
      for await (const { frame } of decodeAhead(file, decoding(stop.signal))) {
        looked.push(frame);
        if (frame === 5) stop.abort();
      }
    };
    await expect(looking()).rejects.toMatchObject({ kind: 'stopped' });
    expect(looked).toEqual([0, 1, 2, 3, 4, 5]);
  });

  it('says of a file without a picture what decoding says', async () => {
    const broken = path.join(folder, 'broken.mp4');
    writeFileSync(broken, 'no clip at all');
    const first = decodeAhead(broken, decoding()).next();
    await expect(first).rejects.toMatchObject({ kind: 'unusableFile' });
  });

  it('holds fewer pictures the larger they are, and always one more than are valid', () => {
    expect([1920 * 1080, 3840 * 2160, 7680 * 4320].map(picturesInRing)).toEqual([10, 10, 5]);
    expect(picturesInRing(40e6)).toBe(5);
  });

  it('has the memory of pictures that were given back, once', () => {
    const bytes = 1920 * 1080;
    const first = loadKernels(bytes, 3);
    const memory = (ring: typeof first): number[] => ring.map(({ byteOffset }) => byteOffset);
    first.forEach((picture) => picture.fill(1));
    giveBack(first);
    giveBack(first);
    const [second, third] = [loadKernels(bytes, 3), loadKernels(bytes, 3)];
    expect(memory(second)).toEqual(memory(first));
    expect(second.map((picture) => picture[0])).toEqual([1, 1, 1]);
    expect(third.map((picture) => picture[0])).toEqual([0, 0, 0]);
  });
});
