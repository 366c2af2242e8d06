import { once } from 'node:events';
import {
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { createServer, type AddressInfo } from 'node:net';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { assertWithinLimits, clipLimits } from '../../../electron/media/limits.ts';
import { limitedCommand } from '../../../electron/media/limited-command.ts';
import { explainError } from '../../../electron/media/explain.ts';
import { ChildError, runChild, startChild } from '../../../electron/media/process.ts';
import { probeClip } from '../../../electron/media/probe.ts';
import { Failure } from '../../../shared-lib/contract/errors.ts';
import { mutate } from '../../fuzz/mutate.ts';
import { makeSeeds } from '../../fuzz/seeds.ts';
import { takeIn } from '../../fuzz/take-in.ts';
import * as fixture from './fixtures.ts';

const folder = fixture.temporaryFolder();
const at = (name: string): string => path.join(folder, name);
const onPosix = process.platform !== 'win32';
const take = (file: string) => takeIn(file, fixture.tools, folder);

let visits = 0;
const server = createServer((socket) => {
  visits += 1;
  socket.destroy();
});
let port = 0;

beforeAll(async () => {
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  ({ port } = server.address() as AddressInfo);
  fixture.paintClip(at('secret.mp4'));
  fixture.paintClip(at('clip.avi'), { codec: ['-c:v', 'mjpeg', '-pix_fmt', 'yuvj420p'] });
});
afterAll(() => server.close());

/** A RIFF chunk. */
function chunk(id: string, body: Buffer): Buffer {
  const head = Buffer.alloc(8);
  head.write(id, 0, 'latin1');
  head.writeUInt32LE(body.length, 4);
  return Buffer.concat([head, body, Buffer.alloc(body.length % 2)]);
}

/** An AVI whose caption stream is a file of its own inside a GAB2 chunk, which AVI readers hand on to any other reader. */
function aviWithCaptions(inside: string): Buffer {
  const name = Buffer.from('c\0', 'utf16le');
  const text = Buffer.from(inside);
  const sizes = Buffer.alloc(4);
  sizes.writeUInt32LE(text.length);
  const nameLength = Buffer.alloc(4);
  nameLength.writeUInt32LE(name.length);
  const gab2 = Buffer.concat([
    ...[Buffer.from('GAB2\0'), Buffer.from([2, 0]), nameLength, name, Buffer.from([4, 0]), sizes, text],
  ]);
  const avi = readFileSync(at('clip.avi'));
  const header = Buffer.alloc(56);
  header.write('txts', 0, 'latin1');
  header.writeUInt32LE(1, 20);
  header.writeUInt32LE(30, 24);
  header.writeUInt32LE(1, 32);
  const stream = Buffer.concat([Buffer.from('strl'), chunk('strh', header), chunk('strf', Buffer.alloc(0))]);
  // Its stream list goes to the end of the header list, its text to the front of the pictures.
  const headerListAt = avi.indexOf('hdrl') - 8;
  const headerEnd = headerListAt + 8 + avi.readUInt32LE(headerListAt + 4);
  const list = chunk('LIST', stream);
  const moviAt = avi.indexOf('movi');
  const caption = chunk('01tx', gab2);
  const made = Buffer.concat([
    ...[avi.subarray(0, headerEnd), list, avi.subarray(headerEnd, moviAt + 4), caption],
    avi.subarray(moviAt + 4, avi.indexOf('idx1')),
  ]);
  made.writeUInt32LE(avi.readUInt32LE(headerListAt + 4) + list.length, headerListAt + 4);
  made.writeUInt32LE(2, made.indexOf('avih') + 8 + 24);
  const newMovi = made.indexOf('movi');
  made.writeUInt32LE(made.length - newMovi, newMovi - 4);
  made.writeUInt32LE(made.length - 8, 4);
  return made;
}

describe('a file that points elsewhere', () => {
  const playlists: [string, () => string][] = [
    ['a playlist of addresses', () => `#EXTM3U\n#EXTINF:1,\nhttp://127.0.0.1:${port}/a.ts\n#EXT-X-ENDLIST\n`],
    ['a playlist of files', () => `#EXTM3U\n#EXTINF:1,\nfile://${at('secret.mp4')}\n#EXT-X-ENDLIST\n`],
    ['a list of files', () => `ffconcat version 1.0\nfile '${at('secret.mp4')}'\n`],
    ['a session description', () => `v=0\nc=IN IP4 127.0.0.1\nt=0 0\nm=video ${port} RTP/AVP 96\n`],
    [
      'a manifest',
      () =>
        `<?xml version="1.0"?><MPD xmlns="urn:mpeg:dash:schema:mpd:2011"><Period><AdaptationSet><Representation id="a"><BaseURL>http://127.0.0.1:${port}/</BaseURL></Representation></AdaptationSet></Period></MPD>`,
    ],
  ];

  it.each(playlists)('%s under a clip’s name is refused, and nothing is reached', async (_, text) => {
    for (const name of ['named.mp4', 'named.avi', 'named.mkv']) {
      writeFileSync(at(name), text());
      expect(await take(at(name))).toMatchObject({ end: 'unusableFile' });
    }
    expect(visits).toBe(0);
  });

  it.each(playlists)('%s behind a clip’s first bytes is refused, and nothing is reached', async (_, text) => {
    const ftyp = Buffer.from('\0\0\0\u0018ftypisom\0\0\0\0isomiso2', 'latin1');
    writeFileSync(at('behind.mp4'), Buffer.concat([ftyp, Buffer.from(text())]));
    expect(await take(at('behind.mp4'))).toMatchObject({ end: 'unusableFile' });
    expect(visits).toBe(0);
  });

  it.each(playlists)('%s as the captions inside an AVI is not followed', async (_, text) => {
    writeFileSync(at('captions.avi'), aviWithCaptions(text()));
    const taken = await take(at('captions.avi'));
    expect(['used', 'unusableFile']).toContain(taken.end);
    expect(visits).toBe(0);
  });

  it('an AVI with captions of its own is a clip like any other', async () => {
    writeFileSync(at('captions.avi'), aviWithCaptions('1\n00:00:00,000 --> 00:00:00,500\nwords\n'));
    expect(await take(at('captions.avi'))).toMatchObject({ end: 'used', what: '20 frames' });
  });

  it('a movie whose pictures lie in another file does not get them', async () => {
    const bytes = readFileSync(at('secret.mp4'));
    // The data reference "in this file" becomes an alias of another (ISO/IEC 14496-12, 8.7.2: flag 1 means the same file).
    const urlAt = bytes.indexOf('url ');
    bytes[urlAt + 7] = 0;
    const mdatAt = bytes.indexOf('mdat');
    writeFileSync(
      at('elsewhere.mov'),
      bytes.fill(0, mdatAt + 4, mdatAt + 4 + bytes.readUInt32BE(mdatAt - 4) - 8),
    );
    expect(await take(at('elsewhere.mov'))).toMatchObject({ end: 'unusableFile' });
  });
});

describe('limits', () => {
  const clip = { widthPx: 1920, heightPx: 1080, declaredFrames: 600, durationS: 10 };
  it.each([
    ['pictures of 50 million pixels', { widthPx: 8192, heightPx: 6200 }, /8192 x 6200/],
    ['a picture as wide as a street', { widthPx: 20_000, heightPx: 2 }, /20000 x 2/],
    ['a million pictures', { declaredFrames: 1_000_000 }, /longer than/],
    ['a day', { durationS: 86_400 }, /longer than/],
  ])('%s are not taken on', (_, more, what) => {
    expect(() => assertWithinLimits('/x/clip.mp4', { ...clip, ...more })).toThrow(what);
    expect(() => assertWithinLimits('/x/clip.mp4', clip)).not.toThrow();
  });

  it('hold for 8K and for ten minutes at 240 pictures a second', () => {
    const large = { widthPx: 7680, heightPx: 4320, declaredFrames: 144_000, durationS: 600 };
    expect(() => assertWithinLimits('clip.mp4', large)).not.toThrow();
  });

  it('of oblong pixels count as displayed', async () => {
    fixture.paintClip(at('oblong.mkv'), { then: 'setsar=200:max=1000' });
    await expect(probeClip(at('oblong.mkv'), fixture.tools)).rejects.toThrow(/19200 x 64/);
  });

  it('of a file whose header promises more than it holds are kept by ffmpeg too', async () => {
    const args = ['-v', 'error', '-max_pixels', '1000', '-i', `file:${at('secret.mp4')}`, '-f', 'null', '-'];
    const error: unknown = await runChild(fixture.tools.ffmpeg, args).catch((cause: unknown) => cause);
    expect(explainError('secret.mp4', error)).toMatchObject({
      what: expect.stringMatching(/larger than/) as string,
    });
  });

  it('of streams end with a sentence', async () => {
    const inputs = Array.from({ length: clipLimits.streams + 1 }, () => ['-map', '0']).flat();
    fixture.runFfmpeg(
      '-f',
      'lavfi',
      '-i',
      'color=s=16x16:r=10:d=0.3',
      ...inputs,
      ...fixture.h264,
      at('many.avi'),
    );
    const taken = await take(at('many.avi'));
    expect(taken).toMatchObject({ end: 'unusableFile', what: 'many.avi holds more than 32 streams.' });
  });

  it('of decoders leave out what no camera writes', async () => {
    fixture.runFfmpeg(
      ...['-f', 'lavfi', '-i', 'color=s=64x64:r=10:d=0.5', '-c:v', 'snow', '-strict', '-2', at('snow.avi')],
    );
    const taken = await take(at('snow.avi'));
    expect(taken).toMatchObject({
      end: 'unusableFile',
      what: expect.stringMatching(/coded in a way/) as string,
    });
  });

  const node = process.execPath;
  it.runIf(onPosix)('of memory and of what is written are kept by the system', async () => {
    const limits = { addressBytes: 8 * 2 ** 30, fileBytes: 64 * 1024 };
    const fill = 'require("fs").writeFileSync(process.argv[1], Buffer.alloc(1e6))';
    const file = at('filled');
    await expect(runChild(node, ['-e', fill, file], { limits })).rejects.toBeInstanceOf(ChildError);
    expect(readFileSync(file).length).toBeLessThanOrEqual(limits.fileBytes);
    const { stdout } = await runChild('sh', ['-c', 'ulimit -v; ulimit -c'], { limits });
    expect(stdout).toBe(process.platform === 'linux' ? `${8 * 2 ** 20}\n0\n` : expect.any(String));
  });

  it('of the system leave the arguments as they are', () => {
    const limits = { addressBytes: 1024, fileBytes: 512 };
    const { program, args } = limitedCommand('ffmpeg', ['-i', '$(touch x)'], limits, 'linux');
    expect([program, ...args.slice(2)]).toEqual(['sh', 'limits', '1', '1', 'ffmpeg', '-i', '$(touch x)']);
    expect(limitedCommand('ffmpeg', ['-i', 'a'], limits, 'win32')).toEqual({
      program: 'ffmpeg',
      args: ['-i', 'a'],
    });
  });

  it('of silence end a program that says nothing, and not one whose reader rests', async () => {
    const silent = startChild(node, ['-e', 'setTimeout(() => 0, 60000)'], { quietMs: 150 });
    const error: unknown = await silent.ended.catch((cause: unknown) => cause);
    expect(error).toMatchObject({ overran: true });
    expect(explainError('/x/clip.mp4', error)).toMatchObject({ kind: 'unusableFile' });
    const talking = startChild(node, ['-e', 'process.stdout.write("x".repeat(1e6))'], { quietMs: 1000 });
    await once(talking.stdout, 'readable');
    await new Promise((resolve) => setTimeout(resolve, 2200));
    talking.stdout.resume();
    await expect(talking.ended).resolves.toBeUndefined();
  });

  it('of a report end what would fill the memory', async () => {
    const endless = ['-e', 'const more = () => process.stdout.write("x".repeat(1e4), more); more()'];
    await expect(runChild(node, endless, { mostOutput: 1e6 })).rejects.toMatchObject({ overran: true });
  });

  it.runIf(onPosix)('a program that a file breaks gives a sentence', async () => {
    const error: unknown = await runChild('sh', ['-c', 'kill -SEGV $$']).catch((cause: unknown) => cause);
    expect(explainError('/x/clip.mp4', error)).toMatchObject({
      kind: 'unusableFile',
      what: 'clip.mp4 is damaged in a way that breaks ffmpeg.',
    });
  });
});

describe('file names', () => {
  const long = (ending: string): string =>
    '力'.repeat(83) + 'x'.repeat(255 - 83 * 3 - ending.length) + ending;
  const names = [
    ...['-i.mp4', '--help.mp4', 'it\'s "quoted".mp4', '100% [a],b;c.mp4', '%d.mp4', '💪🏋️.mp4', long('.mp4')],
    ...(onPosix
      ? ['line\nend.mp4', 'back\\slash.mp4', 'a:b|c>d.mp4', '$(touch x) `touch y`.mp4', 'esc\u001b[31m.mp4']
      : []),
  ];
  it.each(names)('%j works', async (name) => {
    mkdirSync(at('names'), { recursive: true });
    const file = path.join(at('names'), name);
    writeFileSync(file, readFileSync(at('secret.mp4')));
    expect(await take(file)).toMatchObject({ end: 'used', what: '20 frames' });
    // A refusal of it is still one line that does not speak to a terminal.
    writeFileSync(file, 'words');
    const error: unknown = await probeClip(file, fixture.tools).catch((cause: unknown) => cause);
    expect((error as Failure).what).toMatch(/^[^\p{Cc}]+ is not a video that can be read\.$/u);
    expect(existsSync(at('names/x')) || existsSync(at('names/y'))).toBe(false);
  });

  it.runIf(onPosix)('that are links work, and links to nothing or in circles give a sentence', async () => {
    mkdirSync(at('real'), { recursive: true });
    writeFileSync(at('real/clip.mp4'), readFileSync(at('secret.mp4')));
    symlinkSync(at('real'), at('linked'));
    symlinkSync(at('real/clip.mp4'), at('link.mp4'));
    symlinkSync(at('nowhere.mp4'), at('dangling.mp4'));
    symlinkSync(at('circle.mp4'), at('circle.mp4'));
    expect(await take(at('linked/clip.mp4'))).toMatchObject({ end: 'used' });
    expect(await take(at('link.mp4'))).toMatchObject({ end: 'used' });
    expect(await take(at('dangling.mp4'))).toMatchObject({ end: 'unusableFile' });
    expect(await take(at('circle.mp4'))).toMatchObject({ end: 'unusableFile' });
  });
});

describe('damaged clips', () => {
  it('end in a sentence or in use, every one, and leave nothing behind', async () => {
    const seeds = makeSeeds(at('seeds'), fixture.tools.ffmpeg);
    const work = at('work');
    mkdirSync(work);
    // One of each kind of clip, and of each kind of damage; `npm run bench:fuzz` goes on from there.
    for (let number = 0; number < 26; number += 1) {
      const seed = seeds[number % seeds.length];
      const { bytes, damage } = mutate(seed.bytes, number);
      const file = path.join(work, seed.name);
      writeFileSync(file, bytes);
      const taken = await takeIn(file, fixture.tools, at('.'));
      expect(taken.end, `${number} ${seed.name} ${damage}: ${taken.what}`).toMatch(/^(used|unusableFile)$/);
      expect(readdirSync(work)).toEqual([seed.name]);
      expect(readFileSync(file).equals(bytes)).toBe(true);
      rmSync(file);
    }
  });
});
