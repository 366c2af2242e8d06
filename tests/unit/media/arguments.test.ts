import path from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  decodeArguments,
  inputArguments,
  seconds,
  seekArguments,
  trimFilter,
} from '../../../electron/media/arguments.ts';
import { explainUnusable } from '../../../electron/media/explain.ts';
import { decoderThreads } from '../../../electron/media/limits.ts';
import {
  displayedSize,
  fittedSize,
  quarterTurn,
  turnFromFfprobe,
} from '../../../electron/media/orientation.ts';
import { captureFpsOf } from '../../../electron/media/container-facts.ts';
import { bitDepthOfPixelFormat, factsOfReport } from '../../../electron/media/probe-ffprobe.ts';
import { bitDepthOf } from '../../../electron/media/probe-mediabunny.ts';
import { showinfoReader } from '../../../electron/media/showinfo.ts';
import { guardCommand } from '../../../electron/media/guard.ts';

describe('arguments', () => {
  it('open a clip as a local file of a kind that names no other file', () => {
    const args = inputArguments('-a b.mp4');
    expect(args.slice(-2)).toEqual(['-i', `file:${path.resolve('-a b.mp4')}`]);
    const valueOf = (option: string): string => args[args.indexOf(option) + 1];
    expect(valueOf('-protocol_whitelist')).toBe('file,pipe');
    expect(valueOf('-format_whitelist')).toBe('mov,mp4,m4a,3gp,3g2,mj2,matroska,webm,avi');
    expect(valueOf('-codec_whitelist').split(',')).toContain('hevc');
    expect(valueOf('-codec_whitelist').split(',')).not.toContain('ansi');
    expect([valueOf('-max_streams'), valueOf('-max_pixels'), valueOf('-max_alloc')]).toEqual([
      ...['32', '40000000', String(512 * 2 ** 20)],
    ]);
  });

  it('of a whole clip', () => {
    expect(decodeArguments('/a.mp4', { widthPx: 64, heightPx: 48, bitDepth: 10 })).toEqual([
      ...['-hide_banner', '-nostdin', '-nostats', '-loglevel', 'repeat+info', '-copyts'],
      ...inputArguments('/a.mp4'),
      ...['-map', '0:V:0', '-vf'],
      'showinfo=checksum=0,format=yuv420p10le|yuv422p10le|yuv444p10le|gray10le,' +
        'scale=64:48:flags=area:in_range=full:out_range=full:sws_dither=none,format=gray',
      ...['-fps_mode', 'passthrough', '-frames:v', '216001', '-f', 'yuv4mpegpipe', 'pipe:1'],
    ]);
  });

  it('of pictures that are softened once they have their size', () => {
    const args = decodeArguments('/a.mp4', { widthPx: 64, heightPx: 48, bitDepth: 8, softeningPx: 1.75 });
    expect(args[args.indexOf('-vf') + 1]).toMatch(/dither=none,format=gray,gblur=sigma=1\.750$/);
  });

  it('of the key frames in a stretch', () => {
    const size = { widthPx: 64, heightPx: 48, bitDepth: 8 };
    const request = { ...size, keyFramesOnly: 'by the decoder', fromS: 12.5, toS: 14 } as const;
    const args = decodeArguments('/a.mp4', request);
    const seek = ['-skip_frame', 'nokey', '-seek_timestamp', '1', '-noaccurate_seek', '-ss', '12.500001'];
    expect(args.slice(6, 13)).toEqual(seek);
    expect(args[args.indexOf('-vf') + 1]).toMatch(
      /^trim=start=12\.500000:end=14\.000000,select=key,showinfo/,
    );
    expect(trimFilter({ toS: 2 })).toEqual(['trim=end=2.000000']);
    expect(trimFilter({})).toEqual([]);
    expect(seekArguments({})).toEqual([]);
  });

  it('write times to the microsecond and never with an exponent', () => {
    expect(seconds(1e-7)).toBe('0.000000');
    fc.assert(
      fc.property(fc.double({ min: 0, max: 1e5, noNaN: true }), (timeS) => {
        expect(seconds(timeS)).toMatch(/^\d+\.\d{6}$/);
        expect(Math.abs(Number(seconds(timeS)) - timeS)).toBeLessThan(5.1e-7);
      }),
    );
  });

  it("of the guard name the process and need no program beyond the system's own", () => {
    expect(guardCommand(42, 'linux').args.at(-1)).toBe('42');
    expect(guardCommand(42, 'darwin').program).toBe('sh');
    expect(guardCommand(42, 'win32')).toMatchObject({ program: 'cmd' });
    expect(guardCommand(42, 'win32').args.at(-1)).toContain('/PID 42 ');
  });
});

describe('frame times from showinfo', () => {
  const captured = [
    '[Parsed_showinfo_0 @ 0x55a1ed68ed80] config in time_base: 1/15360, frame_rate: 30/1',
    '[Parsed_showinfo_0 @ 0x55a1ed68ed80] config out time_base: 0/0, frame_rate: 0/0',
    '[Parsed_showinfo_0 @ 0x55a1ed68ed80] n:   0 pts:      0 pts_time:0       pos:       48 fmt:yuv420p sar:1/1 s:320x240 i:P iskey:1 type:I ',
    '[Parsed_showinfo_0 @ 0x55a1ed68ed80]   side data - User Data Unregistered:',
    '[Parsed_showinfo_0 @ 0x55a1ed68ed80] color_range:tv color_space:unknown color_primaries:unknown color_trc:unknown',
    '[Parsed_showinfo_0 @ 0x55a1ed68ed80] n:   1 pts:    512 pts_time:0.0333333 pos:    22811 fmt:yuv420p sar:1/1 s:320x240 i:P iskey:0 type:B ',
    '[Parsed_showinfo_1 @ 0x600001d8c000] n:1000 pts:  -1024 pts_time:-0.0666667 duration:    512 duration_time:0.0333333 fmt:yuv420p cl:left sar:1/1 s:320x240 i:P iskey:0 type:B ',
    '[mov,mp4,m4a,3gp,3g2,mj2 @ 0x55a1] n: 7 pts: 7 of another module',
    '[Parsed_showinfo_0 @ 0x55a1ed68ed80] config in time_base: 1/1000, frame_rate: 30/1',
    '[Parsed_showinfo_0 @ 0x55a1ed68ed80] n:   2 pts:   2500 pts_time:2.5     pos:  22811 fmt:yuv420p',
    '[Parsed_showinfo_0 @ 0x55a1ed68ed80] n:   3 pts: NOPTS pts_time:NOPTS   pos:  22811 fmt:yuv420p',
  ];

  it('are time stamps times the time base that holds', () => {
    const reader = showinfoReader();
    const times = captured.map((line) => reader.push(line)).filter((time) => time !== null);
    expect(times).toEqual([0, 512 / 15360, -1024 / 15360, 2.5, NaN]);
  });
});

describe('orientation', () => {
  it('ffprobe counts the other way round', () => {
    expect([-90, 90, 180, -180, 0, -270].map(turnFromFfprobe)).toEqual([90, 270, 180, 180, 0, 270]);
    expect([0, 89.9, 450, -90, 359].map(quarterTurn)).toEqual([0, 90, 90, 270, 0]);
  });

  it('pixels are squared before the turn', () => {
    const stored = { widthPx: 1440, heightPx: 1080 };
    expect(displayedSize(stored, 4 / 3, 0)).toEqual({ widthPx: 1920, heightPx: 1080 });
    expect(displayedSize(stored, 4 / 3, 90)).toEqual({ widthPx: 1080, heightPx: 1920 });
    expect(displayedSize(stored, 3 / 4, 180)).toEqual({ widthPx: 1440, heightPx: 1440 });
    expect(displayedSize(stored, 1, 270)).toEqual({ widthPx: 1080, heightPx: 1440 });
  });

  it('a fitted size keeps to the limit, to the shape within half a pixel, and never grows', () => {
    const side = fc.integer({ min: 1, max: 8000 });
    fc.assert(
      fc.property(side, side, side, (width, height, limit) => {
        const { widthPx, heightPx } = fittedSize(width, height, limit);
        const factor = Math.min(1, limit / Math.max(width, height));
        expect(Math.max(widthPx, heightPx)).toBe(Math.min(limit, Math.max(width, height)));
        expect(Math.abs(widthPx - Math.max(1, width * factor))).toBeLessThanOrEqual(0.5);
        expect(Math.abs(heightPx - Math.max(1, height * factor))).toBeLessThanOrEqual(0.5);
      }),
    );
    expect(fittedSize(1920, 1080, undefined)).toEqual({ widthPx: 1920, heightPx: 1080 });
  });
});

describe('facts of a container', () => {
  it('bit depth from codec strings', () => {
    const codecs = [
      'avc1.640028',
      'avc1.6E0028',
      'avc1.7A0028',
      'hvc1.1.6.L93.B0',
      'hev1.2.4.L60.90',
      'hvc1.4.10.L93',
    ];
    expect(codecs.map(bitDepthOf)).toEqual([8, 10, null, 8, 10, null]);
    expect(['vp09.02.20.12', 'av01.0.04M.10', 'vp8', 'apch'].map(bitDepthOf)).toEqual([12, 10, 8, null]);
  });

  it('bit depth from pixel formats', () => {
    const formats = ['yuv420p', 'yuvj420p', 'yuv420p10le', 'p010le', 'yuv422p12be', 'gray16le', 'nv12', ''];
    expect(formats.map(bitDepthOfPixelFormat)).toEqual([8, 8, 10, 10, 12, 16, 8, 8]);
  });

  it('capture rate as text, as a number and as raw float32', () => {
    expect(captureFpsOf('120.000000')).toBe(120);
    expect(captureFpsOf(240)).toBe(240);
    expect(captureFpsOf(new Uint8Array([0x43, 0x70, 0, 0]))).toBe(240);
    expect([captureFpsOf(undefined), captureFpsOf('0'), captureFpsOf('fast')]).toEqual([null, null, null]);
  });

  it('a cover picture is no video', () => {
    const cover = { index: 0, codec_type: 'video', disposition: { attached_pic: 1 } };
    const format = { format_name: 'mov,mp4,m4a,3gp,3g2,mj2' };
    expect(factsOfReport({ streams: [cover], format }, 'a.m4a')).toBeNull();
    const report = { streams: [cover, { index: 1, codec_type: 'video', width: 8, height: 6 }], format };
    expect(factsOfReport(report, 'a.mp4')).toMatchObject({ streamIndex: 1, facts: { storedWidthPx: 8 } });
  });
});

describe('threads of a decoder', () => {
  it.each([
    ['1080p on two cores', 1920, 1080, 8, 2, 6],
    ['1080p of 10 bit', 1920, 1080, 10, 2, 6],
    ['1080p on sixteen cores', 1920, 1080, 8, 16, 16],
    ['small pictures on one core', 640, 360, 8, 1, 3],
    ['4K of 10 bit on two cores', 3840, 2160, 10, 2, 4],
    ['4K of 10 bit on one core', 3840, 2160, 10, 1, 3],
    ['4K of 10 bit on sixteen cores', 3840, 2160, 10, 16, 4],
    ['8K of 10 bit', 7680, 4320, 10, 16, 1],
  ])('%s', (_, widthPx, heightPx, bitDepth, cores, threads) => {
    expect(decoderThreads({ widthPx, heightPx, bitDepth }, cores)).toBe(threads);
    const args = decodeArguments('/somewhere/a.mp4', { widthPx: 64, heightPx: 48, bitDepth, threads });
    expect(args[args.indexOf('-threads') + 1]).toBe(String(threads));
    // An option of the input: after it it would be the encoder's.
    expect(args.indexOf('-threads')).toBeLessThan(args.indexOf('-i'));
  });
});

describe('what is wrong with a file, from what ffmpeg says', () => {
  it.each([
    ['[mov,mp4 @ 0x1] moov atom not found', /cut short/],
    ['file:a.mp4: Invalid data found when processing input', /is not a video that can be read/],
    ["Stream map '0:V:0' matches no streams.", /has no video/],
    ["Unrecognized option 'fps_mode'.", /needs ffmpeg 5\.1/],
    ['Something nobody has seen', /cannot be read as a video/],
  ])('%s', (line, what) => {
    const failure = explainUnusable('/somewhere/a.mp4', ['other', line]);
    expect(failure).toMatchObject({ kind: 'unusableFile' });
    expect(failure.what).toMatch(/^a\.mp4 /);
    expect(failure.what).toMatch(what);
    expect(failure.advice).not.toContain('\n');
  });
});
