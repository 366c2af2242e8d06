import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll } from 'vitest';
import { decodeFrames, type DecodeOptions } from '../../../electron/media/decode.ts';
import { findTools } from '../../../electron/media/find-ffmpeg.ts';
import { probeClip } from '../../../electron/media/probe.ts';
import type { GreyImage } from '../../../shared-lib/picture/grey-image.ts';

/** Clips made with ffmpeg while the tests run. Each frame is painted with its own number. */

export const tools = findTools();
const encoders = execFileSync(tools.ffmpeg, ['-hide_banner', '-encoders'], { encoding: 'utf8' });
export const hasEncoder = (name: string): boolean => new RegExp(` ${name} `).test(encoders);

/** A folder that goes away after the test file. */
export function temporaryFolder(): string {
  const folder = mkdtempSync(path.join(tmpdir(), 'lockstep-media-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

export function runFfmpeg(...args: string[]): void {
  const { status, stderr } = spawnSync(tools.ffmpeg, ['-v', 'error', '-nostdin', '-y', ...args], {
    encoding: 'utf8',
    env: { ...process.env, SVT_LOG: '1' },
  });
  if (status !== 0) throw new Error(`ffmpeg ${args.join(' ')}\n${stderr}`);
}

/** Grey level at which frame n is painted; its top left quarter is white. */
export const levelOf = (frame: number): number => 30 + 8 * (frame % 24);
export const cornerLevel = 235;

export interface PaintedClip {
  frames?: number;
  fps?: number;
  widthPx?: number;
  heightPx?: number;
  /** Filters after the painting. */
  then?: string;
  codec?: string[];
  /** More output options. */
  more?: string[];
}

export const h264 = ['-c:v', 'libx264', '-preset', 'veryfast', '-crf', '12', '-pix_fmt', 'yuv420p'];

/** Writes a clip whose frames carry their numbers. */
export function paintClip(file: string, clip: PaintedClip = {}): void {
  const { frames = 20, fps = 30, widthPx = 96, heightPx = 64, then, codec = h264, more = [] } = clip;
  const source = `color=black:s=${widthPx}x${heightPx}:r=${fps},format=yuv420p`;
  const paint = `geq=lum='if(lt(X,W/2)*lt(Y,H/2),${cornerLevel},30+8*mod(N,24))':cb=128:cr=128`;
  const filters = [paint, ...(then ? [then] : [])].join(',');
  const output = ['-frames:v', String(frames), '-fps_mode', 'passthrough', ...codec, ...more, `file:${file}`];
  runFfmpeg('-f', 'lavfi', '-i', source, '-vf', filters, ...output);
}

/** Mean of a part of a picture given in shares of its sides. */
export function meanOf(image: GreyImage, x0: number, y0: number, x1: number, y1: number): number {
  let sum = 0;
  let count = 0;
  for (let y = Math.round(y0 * image.height); y < Math.round(y1 * image.height); y++) {
    for (let x = Math.round(x0 * image.width); x < Math.round(x1 * image.width); x++) {
      sum += image.data[y * image.width + x];
      count += 1;
    }
  }
  return sum / count;
}

/** The level of a picture outside its white corner, wherever that was turned to: the darkest quarter's. */
export function paintedLevel(image: GreyImage): number {
  const quarters = [
    [0.1, 0.1],
    [0.6, 0.1],
    [0.1, 0.6],
    [0.6, 0.6],
  ].map(([x, y]) => meanOf(image, x, y, x + 0.3, y + 0.3));
  return Math.min(...quarters);
}

export interface PaintedFrame {
  ptsS: number;
  level: number;
  width: number;
  height: number;
}

/** Decodes a clip as the program does, after probing it. */
export async function decodePainted(
  file: string,
  options: Partial<DecodeOptions> = {},
): Promise<PaintedFrame[]> {
  const { widthPx, heightPx, bitDepth } = await probeClip(file, tools);
  const frames: PaintedFrame[] = [];
  const size = { width: widthPx, height: heightPx, bitDepth };
  for await (const { ptsS, image } of decodeFrames(file, { ffmpeg: tools.ffmpeg, ...size, ...options })) {
    frames.push({ ptsS, level: paintedLevel(image), width: image.width, height: image.height });
  }
  return frames;
}

/** Time stamps of a clip's displayed frames by the packets that ffprobe lists, in order of display. */
export function ffprobeTimes(file: string, { onlyKeys = false, fps = 30 } = {}): number[] {
  // Packets of an AVI have no presentation times: there, even steps from the first frame's on.
  const isAvi = file.endsWith('.avi');
  const entries = isAvi ? 'frame=best_effort_timestamp_time' : 'packet=pts_time,flags';
  const select = ['-v', 'error', '-select_streams', 'V:0', '-show_entries', entries, '-of', 'json'];
  const report = JSON.parse(
    execFileSync(tools.ffprobe ?? 'ffprobe', [...select, '-i', `file:${file}`], { encoding: 'utf8' }),
  ) as { packets?: { pts_time: string; flags: string }[]; frames?: { best_effort_timestamp_time: string }[] };
  if (isAvi) {
    const frames = report.frames ?? [];
    return frames.map((_, i) => Number(frames[0].best_effort_timestamp_time) + i / fps);
  }
  return (report.packets ?? [])
    .filter(({ flags }) => !flags.includes('D') && (!onlyKeys || flags.includes('K')))
    .map(({ pts_time }) => Number(pts_time))
    .sort((a, b) => a - b);
}

/**
 * Turns an MP4 or MOV clip for display by its track header's matrix (ISO/IEC 14496-12, 8.3.2), the way a
 * phone does and without ffmpeg's own notion of the sign: x' = a x + c y, y' = b x + d y, y down.
 */
export function turnClip(from: string, to: string, clockwiseDeg: 0 | 90 | 180 | 270): void {
  const bytes = readFileSync(from);
  const matrixAt = bytes.indexOf('tkhd') + 44;
  const [a, b, c, d] = { 0: [1, 0, 0, 1], 90: [0, 1, -1, 0], 180: [-1, 0, 0, -1], 270: [0, -1, 1, 0] }[
    clockwiseDeg
  ];
  [a, b, 0, c, d, 0].forEach((value, i) => bytes.writeInt32BE(value * 0x10000, matrixAt + 4 * i));
  writeFileSync(to, bytes);
}
