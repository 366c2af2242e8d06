import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';

/**
 * Clips whose frames say their own number: eight blocks in a row across the middle, black or white, the
 * lowest bit on the left. The blocks survive compression, scaling and the film's crop.
 */
export const codeSize = { widthPx: 256, heightPx: 144 };
const bits = 8;

/** Filter that paints the number of each frame. */
const paint = `geq=lum='if(between(Y,48,96),if(mod(floor(N/pow(2,floor(X/32))),2),235,16),128)':cb=128:cr=128`;

export interface CodedClip {
  fps: number;
  frames: number;
  /** Expression of the frame's time stamp in frames, N counting from 0; even by default. */
  stamp?: string;
  /** Encoder options; H.264 with few key frames by default. */
  encode?: string[];
  /** Seconds at which the file's time begins. */
  startS?: number;
}

export function makeCodedClip(ffmpeg: string, file: string, clip: CodedClip): void {
  const { widthPx, heightPx } = codeSize;
  const stamp = `setpts='(${clip.stamp ?? 'N'})/${clip.fps}/TB'`;
  execFileSync(ffmpeg, [
    ...['-v', 'error', '-y', '-f', 'lavfi'],
    ...[
      '-i',
      `color=gray:s=${widthPx}x${heightPx}:r=${clip.fps},format=yuv420p,${paint},settb=1/90000,${stamp}`,
    ],
    ...['-frames:v', String(clip.frames), '-fps_mode', 'passthrough', '-enc_time_base', '1/90000'],
    ...(clip.encode ?? ['-c:v', 'libx264', '-preset', 'ultrafast', '-crf', '12', '-g', '50', '-bf', '2']),
    ...['-output_ts_offset', String(clip.startS ?? 0), '-video_track_timescale', '90000', file],
  ]);
}

/** Time stamps of the frames in order of display, as ffprobe reads them, seconds. */
export function stampsOf(ffprobe: string, file: string): number[] {
  const text = execFileSync(
    ffprobe,
    [...['-v', 'error', '-select_streams', 'v:0', '-show_entries', 'frame=pts_time', '-of', 'csv=p=0'], file],
    { encoding: 'utf8' },
  );
  return text
    .split(/[\s,]+/)
    .filter((word) => word !== '')
    .map(Number);
}

/** Pictures of a video or still as raw luma. */
export function decodeLuma(ffmpeg: string, file: string, width: number, height: number): Buffer[] {
  // A still is read through a pipe: the reader of stills takes % in a path as a pattern.
  const still = file.endsWith('.jpg');
  const raw = execFileSync(
    ffmpeg,
    [
      ...['-v', 'error', ...(still ? ['-f', 'jpeg_pipe', '-i', '-'] : ['-i', `file:${file}`])],
      ...['-vf', 'extractplanes=y', '-f', 'rawvideo', '-fps_mode', 'passthrough', '-'],
    ],
    { maxBuffer: 1 << 30, ...(still && { input: readFileSync(file) }) },
  );
  const size = width * height;
  return Array.from({ length: Math.floor(raw.length / size) }, (_, i) =>
    raw.subarray(i * size, (i + 1) * size),
  );
}

/**
 * Reads the number painted in a picture.
 *
 * @param left x of the code's left edge in the picture, pixels; `top`, y of the clip's top edge
 * @param scale size of the clip in the picture relative to its own
 */
export function readCode(
  luma: Buffer,
  width: number,
  place: { left: number; top: number; scale: number; mirror?: boolean },
): number {
  let code = 0;
  for (let bit = 0; bit < bits; bit += 1) {
    const column = place.mirror ? bits - 1 - bit : bit;
    const x = Math.round(place.left + (column * 32 + 16) * place.scale);
    const y = Math.round(place.top + 84 * place.scale);
    if (luma[y * width + x] > 128) code += 2 ** bit;
  }
  return code;
}

/** The boxes at the top of an MP4 file in order. */
export function boxesOf(file: string): string[] {
  const data = readFileSync(file);
  const names: string[] = [];
  for (let at = 0; at + 8 <= data.length;) {
    names.push(data.toString('latin1', at + 4, at + 8));
    const size = data.readUInt32BE(at);
    at += size === 1 ? Number(data.readBigUInt64BE(at + 8)) : size;
    if (size === 0) break;
  }
  return names;
}
