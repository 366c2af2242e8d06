import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';

/**
 * Clips whose frames say their own number: eight blocks in a row across the middle, black or white, the
 * lowest bit on the left. The blocks survive compression, scaling and the film's crop.
 */
export const codeSize = { widthPx: 256, heightPx: 144 };
const bits = 8;
const block = { left: 64, width: 16, top: 48, bottom: 96 };

/** Middle of each bit's block in the clip, pixels. */
export const blockCentres = Array.from({ length: bits }, (_, bit) => ({
  xPx: block.left + (bit + 0.5) * block.width - 0.5,
  yPx: (block.top + block.bottom) / 2 + 11.5,
}));

/** Filter that paints the number of each frame. */
const paint =
  `geq=cb=128:cr=128:lum='if(between(Y,${block.top},${block.bottom})*between(X,${block.left},${block.left + bits * block.width - 1}),` +
  `if(mod(floor(N/pow(2,floor((X-${block.left})/${block.width}))),2),235,16),128)'`;

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

/** Pictures of a video, or a part of each, as raw luma. */
export function decodeLuma(
  ffmpeg: string,
  file: string,
  width: number,
  height: number,
  crop = { x: 0, y: 0 },
): Buffer[] {
  const part = `crop=${width}:${height}:${crop.x}:${crop.y}`;
  return pictures(execFileSync(ffmpeg, lumaArguments(['-i', `file:${file}`], [part]), big), width * height);
}

/** Stills of one size as raw luma, in the order given. */
export function stillsLuma(
  ffmpeg: string,
  files: readonly string[],
  width: number,
  height: number,
): Buffer[] {
  const input = Buffer.concat(files.map((file) => readFileSync(file)));
  const args = lumaArguments(['-f', 'mjpeg', '-i', '-'], []);
  return pictures(execFileSync(ffmpeg, args, { ...big, input }), width * height);
}

const big = { maxBuffer: 1 << 28 };

function lumaArguments(input: string[], filters: string[]): string[] {
  const chain = ['extractplanes=y', ...filters].join(',');
  return ['-v', 'error', ...input, '-vf', chain, '-f', 'rawvideo', '-fps_mode', 'passthrough', '-'];
}

function pictures(raw: Buffer, size: number): Buffer[] {
  return Array.from({ length: Math.floor(raw.length / size) }, (_, i) =>
    raw.subarray(i * size, (i + 1) * size),
  );
}

/** Reads the number painted in a picture of the whole clip, scaled and mirrored or not. */
export function readCode(luma: Buffer, widthPx: number, mirror = false): number {
  const scale = widthPx / codeSize.widthPx;
  return blockCentres.reduce((code, { xPx, yPx }, bit) => {
    const column = Math.floor((xPx + 0.5) * scale);
    const x = mirror ? widthPx - 1 - column : column;
    return code + (luma[Math.floor(yPx * scale) * widthPx + x] > 128 ? 2 ** bit : 0);
  }, 0);
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
