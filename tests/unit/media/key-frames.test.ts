import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { decodeFrames, type DecodedFrame } from '../../../electron/media/decode.ts';
import { decodeKeyFrames, OtherKeyFrames } from '../../../electron/media/key-frames.ts';
import { packetTimes } from '../../../electron/media/packet-times.ts';
import * as fixture from './fixtures.ts';

const folder = fixture.temporaryFolder();
const { ffmpeg } = fixture.tools;
const size = { ffmpeg, width: 96, height: 64, bitDepth: 8, threads: 4 };
/** Pictures that refer to later ones, so that they are not stored in the order in which they are shown. */
const bothWays = [...fixture.h264, '-bf', '3', '-b_strategy', '0', '-sc_threshold', '0'];
const hevc = [
  '-c:v',
  'libx265',
  '-preset',
  'ultrafast',
  '-crf',
  '10',
  '-x265-params',
  'log-level=error:bframes=3',
];

async function told(pictures: AsyncIterable<DecodedFrame>): Promise<[ptsS: number, level: number][]> {
  const all: [number, number][] = [];
  for await (const { ptsS, image } of pictures) all.push([ptsS, fixture.paintedLevel(image)]);
  return all;
}

describe("key frames that come with the container's own times", () => {
  it.each([
    ['both-ways.mp4', bothWays, []],
    ['late.mp4', bothWays, ['-output_ts_offset', '2.5']],
    ['both-ways.mov', [...hevc, '-pix_fmt', 'yuv420p'], []],
    ['both-ways.mkv', bothWays, []],
    ['one-way.avi', [...bothWays, '-bf', '0'], []],
  ])(
    '%s: are those, at the times, that a decoder comes to that reads every picture',
    async (name, codec, more) => {
      if (!fixture.hasEncoder(codec[1])) return;
      const file = path.join(folder, name);
      fixture.paintClip(file, { frames: 70, codec, more: ['-g', '9', ...more] });
      const decoded = await told(decodeFrames(file, { ...size, keyFramesOnly: 'by the decoder' }));
      expect(decoded).toHaveLength(8);
      const own = await told(decodeKeyFrames(file, size, packetTimes(file, ffmpeg)));
      expect(own.map(([, level]) => level)).toEqual(decoded.map(([, level]) => level));
      own.forEach(([ptsS], k) => expect(ptsS).toBeCloseTo(decoded[k][0], 6));
    },
  );

  it('are none where they come in another order', async () => {
    if (!fixture.hasEncoder('libx265')) return;
    for (const params of ['open-gop=1:bframes=4', 'open-gop=0:bframes=4', 'open-gop=1:bframes=0']) {
      const file = path.join(folder, `${params.replaceAll(/\W/g, '-')}.mp4`);
      const codec = [
        '-c:v',
        'libx265',
        '-crf',
        '10',
        '-pix_fmt',
        'yuv420p',
        '-x265-params',
        `log-level=error:${params}`,
      ];
      // Two key frames: the second is the last that is decoded.
      fixture.paintClip(file, { frames: 20, codec, more: ['-g', '14'] });
      const decoded = await told(decodeFrames(file, { ...size, keyFramesOnly: 'by the decoder' }));
      const own = told(decodeKeyFrames(file, size, packetTimes(file, ffmpeg)));
      const what = await own.catch((error: unknown) => error);
      if (!(what instanceof OtherKeyFrames)) expect(what).toEqual(decoded);
    }
    const [first, second] = [0, 0.5];
    const times = { ptsS: [first, second], keyPtsS: [first, second] };
    const swapped = path.join(folder, 'swapped.mp4');
    fixture.paintClip(swapped, { frames: 20, codec: bothWays, more: ['-g', '15'] });
    // Its second key frame is told to be the first's.
    const pictures = decodeKeyFrames(swapped, size, Promise.resolve({ ...times, keyPtsS: [-0.6, first] }));
    await expect(told(pictures)).rejects.toBeInstanceOf(OtherKeyFrames);
  });

  it('what an edit list cuts off is not among them', async () => {
    const whole = path.join(folder, 'whole.mp4');
    const cut = path.join(folder, 'cut.mp4');
    fixture.paintClip(whole, { frames: 70, codec: bothWays, more: ['-g', '9'] });
    fixture.runFfmpeg('-ss', '0.5', '-i', whole, '-c', 'copy', cut);
    const decoded = await told(decodeFrames(cut, { ...size, keyFramesOnly: 'by the decoder' }));
    const own = await told(decodeKeyFrames(cut, size, packetTimes(cut, ffmpeg)));
    expect(own.map(([, level]) => level)).toEqual(decoded.map(([, level]) => level));
    own.forEach(([ptsS], k) => expect(ptsS).toBeCloseTo(decoded[k][0], 6));
  });

  it('are none where they are not as many as the container tells of, or it tells of none', async () => {
    const file = path.join(folder, 'other.mp4');
    fixture.paintClip(file, { frames: 40, codec: bothWays, more: ['-g', '9'] });
    const times = (await packetTimes(file, ffmpeg))!;
    expect(times.keyPtsS).toHaveLength(5);
    for (const keyPtsS of [times.keyPtsS.slice(1), [...times.keyPtsS, 9], []]) {
      const pictures = decodeKeyFrames(file, size, Promise.resolve({ ...times, keyPtsS }));
      await expect(told(pictures)).rejects.toBeInstanceOf(OtherKeyFrames);
    }
    await expect(told(decodeKeyFrames(file, size, Promise.resolve(null)))).rejects.toBeInstanceOf(
      OtherKeyFrames,
    );
  });

  it('are none where the container does not tell when each is shown', async () => {
    const file = path.join(folder, 'both-ways.avi');
    fixture.paintClip(file, { frames: 40, codec: bothWays, more: ['-g', '9'] });
    expect(await packetTimes(file, ffmpeg)).toBeNull();
  });

  it('are left when asked to stop', async () => {
    const file = path.join(folder, 'stopped.mp4');
    fixture.paintClip(file, { frames: 40, codec: bothWays, more: ['-g', '9'] });
    const pictures = decodeKeyFrames(
      file,
      { ...size, signal: AbortSignal.abort() },
      packetTimes(file, ffmpeg),
    );
    await expect(told(pictures)).rejects.toMatchObject({ kind: 'stopped' });
  });
});
