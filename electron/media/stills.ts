import { existsSync } from 'node:fs';
import { copyFile, mkdir, mkdtemp, rename, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { Failure } from '../../shared-lib/contract/errors.ts';
import { clipStream, seconds, writerLimits } from './arguments.ts';
import { assertThere, clipInput } from './clip-input.ts';
import { displayFilters } from './display-filters.ts';
import { filtersOf, runJob, type FfmpegJob } from './ffmpeg-job.ts';
import { explainError } from './explain.ts';
import { timeAfter, timeBefore } from '../../shared-lib/motion/frame-times.ts';
import { throwIfStopped } from './process.ts';

/** What stills need to know of a clip. */
export interface StillsClip {
  path: string;
  /** The time stamps of all its frames, seconds of file time, in order. */
  ptsS: readonly number[];
  /** Displayed size: after rotation and pixel aspect ratio. */
  widthPx: number;
  heightPx: number;
  transfer: string | null;
}

export interface StillRequest {
  /** Index of the frame in the clip. */
  frame: number;
  /** The JPEG to write. */
  file: string;
}

export interface StillsOptions {
  ffmpeg: string;
  /** Left and right swapped. Default false. */
  mirror?: boolean;
  /** Width of the stills, pixels, never more than the clip's own, which is the default. */
  widthPx?: number;
  signal?: AbortSignal;
}

/** Decoding on through this much is quicker than starting once more. */
const maxGapS = 2;

/** Requests that one pass of ffmpeg answers: sorted, near one another in time, no frame twice. */
export function stillPasses(ptsS: readonly number[], frames: readonly number[]): number[][] {
  const passes: number[][] = [];
  for (const frame of [...new Set(frames)].sort((a, b) => a - b)) {
    const pass = passes.at(-1);
    if (pass && ptsS[frame] - ptsS[pass.at(-1)!] <= maxGapS) pass.push(frame);
    else passes.push([frame]);
  }
  return passes;
}

/** Stretches of consecutive frames as times that part them from their neighbours, seconds of file time. */
export function stretches(ptsS: readonly number[], frames: readonly number[]): [number, number][] {
  const list: [number, number][] = [];
  frames.forEach((frame, i) => {
    if (i > 0 && frames[i - 1] === frame - 1) list.at(-1)![1] = timeAfter(ptsS, frame);
    else list.push([timeBefore(ptsS, frame), timeAfter(ptsS, frame)]);
  });
  return list;
}

/** The job of one pass: `frames` sorted; the pictures are numbered from 0 in `folder`. */
export function stillsJob(
  clip: StillsClip,
  frames: readonly number[],
  folder: string,
  options: Pick<StillsOptions, 'ffmpeg' | 'mirror' | 'widthPx'>,
  filters: ReadonlySet<string>,
): FfmpegJob {
  const spans = stretches(clip.ptsS, frames);
  const width = Math.max(1, Math.min(Math.round(options.widthPx ?? clip.widthPx), clip.widthPx));
  const height = Math.max(1, Math.round((clip.heightPx * width) / clip.widthPx));
  const chosen = spans.map(([fromS, toS]) => `between(t,${seconds(fromS)},${seconds(toS)})`).join('+');
  const chain = [
    'settb=AVTB',
    `trim=end=${seconds(spans.at(-1)![1])}`,
    `select='${chosen}'`,
    ...displayFilters(clip.transfer, filters),
    // JPEG means BT.601 and full range to whoever opens it.
    `scale=${width}:${height}:flags=area:out_color_matrix=bt601:out_range=pc`,
    'setsar=1',
    ...(options.mirror ? ['hflip'] : []),
  ];
  return {
    ffmpeg: options.ffmpeg,
    inputs: [clipInput(clip.path, timeBefore(clip.ptsS, frames[0]))],
    options: [
      ...['-map', clipStream, '-vf', chain.join(','), '-fps_mode', 'passthrough'],
      ...['-c:v', 'mjpeg', '-pix_fmt', 'yuvj420p', '-q:v', '3', '-threads', '2'],
      ...['-f', 'image2', '-start_number', '0', '-loglevel', 'error'],
      ...[...writerLimits, '-nostats', '-stats_period', '1', '-progress', 'pipe:2'],
    ],
    // A per cent sign in the folder's own name is not part of the pattern.
    output: path.join(folder.replaceAll('%', '%%'), '%d.jpg'),
  };
}

/**
 * Writes JPEG stills of given frames as displayed: turned, square pixels, ordinary dynamic range. A still
 * stands under its name only when it is whole; when the job fails or is stopped, stills of passes already
 * done stay, nothing else does.
 *
 * @throws Failure 'stopped'; 'unusableFile' where the clip is gone or a frame cannot be decoded; ChildError
 *   where ffmpeg was killed from outside
 */
export async function makeStills(
  clip: StillsClip,
  requests: readonly StillRequest[],
  options: StillsOptions,
): Promise<void> {
  throwIfStopped(options.signal);
  const missing = requests.find(({ frame }) => clip.ptsS[frame] === undefined);
  if (missing) throw new RangeError(`The clip has no frame ${missing.frame}`);
  if (requests.length === 0) return;
  await assertThere(clip.path);
  const filters = await filtersOf(options.ffmpeg);
  const folder = await mkdtemp(path.join(tmpdir(), 'lockstep-stills-'));
  try {
    const frames = requests.map(({ frame }) => frame);
    for (const pass of stillPasses(clip.ptsS, frames)) {
      const job = stillsJob(clip, pass, folder, options, filters);
      await runJob(job, { signal: options.signal }).catch((error: unknown) => {
        throw explainError(clip.path, error);
      });
      for (const { frame, file } of requests) {
        const i = pass.indexOf(frame);
        if (i >= 0) await place(path.join(folder, `${i}.jpg`), file, frame);
      }
    }
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

/** Copies a still to its name in one step, so that no half of it is ever seen there. */
async function place(still: string, file: string, frame: number): Promise<void> {
  if (!existsSync(still)) {
    throw new Failure(
      'unusableFile',
      `Frame ${frame} of the clip cannot be read.`,
      'Bring the clip in again; if that does not help, export it anew from where it came.',
    );
  }
  await mkdir(path.dirname(path.resolve(file)), { recursive: true });
  await copyFile(still, `${file}.partial`);
  await rename(`${file}.partial`, file);
}
