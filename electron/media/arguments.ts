import path from 'node:path';
import { clipLimits, programLimits } from './limits.ts';

/**
 * Containers a clip may be in. A playlist, a script of file names or a stream description under a
 * clip's name could make ffmpeg open other files or addresses; none of those formats is here.
 */
const clipFormats = 'mov,mp4,m4a,3gp,3g2,mj2,matroska,webm,avi';

/**
 * Decoders that a clip may ask for, by ffmpeg's names: what phones, cameras and screen recorders write, of some
 * hundreds that ffmpeg has. Sound and captions are not decoded, but opening a file looks at them.
 */
const clipDecoders = [
  'h264,hevc,vp8,libvpx,vp9,libvpx-vp9,av1,libdav1d,libaom-av1,mpeg4,h263,mjpeg,prores,dnxhd,dvvideo',
  'mpeg1video,mpeg2video,msmpeg4v2,msmpeg4,wmv3,vc1,ffv1,huffyuv,utvideo,rawvideo,png',
  'aac,mp3,mp3float,ac3,eac3,alac,flac,opus,libopus,vorbis,amrnb,amrwb',
  'pcm_u8,pcm_s16le,pcm_s16be,pcm_s24le,pcm_s24be,pcm_s32le,pcm_f32le,pcm_alaw,pcm_mulaw,adpcm_ima_qt',
  'mov_text,subrip,srt,ass,ssa,webvtt',
].join(',');

/**
 * Arguments that open a clip as an input, for ffmpeg and ffprobe. The path is made absolute and marked as
 * a file, so that no character in it (a leading dash, a colon, a percent sign) means anything.
 */
export function inputArguments(file: string): string[] {
  const url = `file:${path.resolve(file)}`;
  return [
    ...[
      '-protocol_whitelist',
      'file,pipe',
      '-format_whitelist',
      clipFormats,
      '-codec_whitelist',
      clipDecoders,
    ],
    ...['-max_streams', String(clipLimits.streams), '-max_pixels', String(clipLimits.pixels)],
    ...['-max_alloc', String(programLimits.allocBytes), '-i', url],
  ];
}

/** Options of a job that writes: how long it may compute, seconds, and how much it may write, bytes. */
export const writerLimits: readonly string[] = [
  ...['-timelimit', String(programLimits.cpuS), '-fs', String(programLimits.fileBytes)],
];

/** The first video stream that is no cover picture: the one that is probed, decoded and shown. */
export const clipStream = '0:V:0';

/** Which stretch of a clip to decode, file time in seconds: from (included) to (excluded). */
export interface Stretch {
  fromS?: number | undefined;
  toS?: number | undefined;
  /** Where reading starts, where it is known that a key frame lies between `fromS` and there. */
  seekS?: number | undefined;
}

/** A duration or time as ffmpeg reads it: decimal seconds to the microsecond, never in exponent form. */
export function seconds(timeS: number): string {
  return timeS.toFixed(6);
}

/**
 * Input options that start reading at the last key frame at or before `seekS`, or `fromS` where it is not told. With `-copyts` and
 * `-seek_timestamp` the time is the file's own even when the file does not start at 0. The microsecond
 * keeps a key frame whose time stamp was rounded down from being missed by one group of pictures. In the first
 * second nothing is sought: AVI's demuxer loses its way when asked for what comes before its first index entry.
 */
export function seekArguments({ fromS, seekS = fromS }: Stretch): string[] {
  if (seekS === undefined || seekS < 1) return [];
  return ['-seek_timestamp', '1', '-noaccurate_seek', '-ss', seconds(seekS + 1e-6)];
}

/** The filter that keeps the frames of a stretch and leaves their time stamps alone; empty for the whole. */
export function trimFilter({ fromS, toS }: Stretch): string[] {
  const bounds = [
    ...(fromS === undefined ? [] : [`start=${seconds(fromS)}`]),
    ...(toS === undefined ? [] : [`end=${seconds(toS)}`]),
  ];
  return bounds.length > 0 ? [`trim=${bounds.join(':')}`] : [];
}

/**
 * Pixel formats of a depth whose first plane is the luma by itself. A picture in one of them passes untouched,
 * any other (RGB, interleaved chroma) becomes the nearest of them.
 */
function planarFormats(bitDepth: number): string[] {
  const chromas = ['420', '422', '444'];
  if (bitDepth > 8) return [...chromas.map((chroma) => `yuv${chroma}p${bitDepth}le`), `gray${bitDepth}le`];
  const kinds = ['yuv', 'yuvj', 'yuva'].flatMap((kind) => chromas.map((chroma) => `${kind}${chroma}p`));
  return [...kinds, 'yuv440p', 'yuvj440p', 'yuv411p', 'yuv410p', 'gray'];
}

/** Left out where the file is read other pictures cost least, but times may be wrong; left out by the decoder they are right. */
export type KeyFramesOnly = 'by the decoder' | 'where the file is read';

export interface DecodeRequest extends Stretch {
  /** Size of the pictures that come out, pixels. */
  widthPx: number;
  heightPx: number;
  /** Of the samples as stored. */
  bitDepth: number;
  keyFramesOnly?: KeyFramesOnly | undefined;
  /** Of the decoder; as many as it likes where absent. */
  threads?: number | undefined;
  /** One sigma of a Gaussian that the pictures that come out are blurred with, pixels; none where absent or 0. */
  softeningPx?: number | undefined;
}

/**
 * Arguments of the decode pass: the luma of each displayed picture as one 8-bit plane after the other on
 * standard output, a showinfo line each on standard error. They come as YUV4MPEG2, whose writer takes a picture's lines from where
 * they are: raw video is copied once more, which of 30 s of 1080p at 60 pictures a second took 0.9 s of processor time and 18 MB.
 *
 * A conversion to grey would stretch the range: with both sides of the scaler declared full range, and without dither, it takes the luma
 * as it is, and makes 10 bits into 8 by dropping two. Taking the plane first comes to the same and copies it once more, which of 10 s of
 * 4K of 10 bit took 1.2 s of processor time and 16 MB.
 */
export function decodeArguments(file: string, request: DecodeRequest): string[] {
  const { widthPx, heightPx, bitDepth, keyFramesOnly, threads, softeningPx } = request;
  const filters = [
    ...trimFilter(request),
    ...(keyFramesOnly ? ['select=key'] : []),
    'showinfo=checksum=0',
    `format=${planarFormats(bitDepth).join('|')}`,
    `scale=${widthPx}:${heightPx}:flags=area:in_range=full:out_range=full:sws_dither=none`,
    'format=gray',
    ...(softeningPx ? [`gblur=sigma=${softeningPx.toFixed(3)}`] : []),
  ];
  return [
    ...['-hide_banner', '-nostdin', '-nostats', '-loglevel', 'repeat+info', '-copyts'],
    ...(keyFramesOnly ? ['-skip_frame', 'nokey'] : []),
    ...(keyFramesOnly === 'where the file is read' ? ['-discard:v', 'nokey'] : []),
    ...(threads === undefined ? [] : ['-threads', String(threads)]),
    ...seekArguments(request),
    ...inputArguments(file),
    ...['-map', clipStream, '-vf', filters.join(','), '-fps_mode', 'passthrough'],
    // One more than is taken, to tell a clip at the limit from one beyond it.
    ...['-frames:v', String(clipLimits.frames + 1), '-f', 'yuv4mpegpipe', 'pipe:1'],
  ];
}
