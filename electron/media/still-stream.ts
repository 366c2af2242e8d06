import type { Readable } from 'node:stream';
import { Failure } from '../../shared-lib/contract/errors.ts';
import { assertThere } from './clip-input.ts';
import { explainError } from './explain.ts';
import { filtersOf } from './ffmpeg-job.ts';
import { startChild } from './process.ts';
import { stillsJob, type StillsClip } from './stills.ts';

const endOfPicture = Buffer.from([0xff, 0xd9]);

/** Cuts a stream of JPEGs into pictures. Inside a picture's data 0xFF is followed by 0, so its end is never mistaken. */
export function jpegSplitter(onPicture: (jpeg: Buffer) => void): (chunk: Buffer) => void {
  let held: Buffer = Buffer.alloc(0);
  return (chunk) => {
    // The mark may lie across two chunks.
    let from = Math.max(0, held.length - 1);
    held = Buffer.concat([held, chunk]);
    for (let at = held.indexOf(endOfPicture, from); at >= 0; at = held.indexOf(endOfPicture, from)) {
      onPicture(held.subarray(0, at + 2));
      held = held.subarray(at + 2);
      from = 0;
    }
  };
}

/**
 * Makes stills of frames in one pass, handing over each as soon as it is made, in order.
 *
 * @param frames indices in order, none twice, near one another
 * @throws Failure 'stopped'; 'unusableFile' where the clip is gone or a frame cannot be decoded; ChildError
 */
export async function streamStills(
  clip: StillsClip,
  frames: readonly number[],
  options: {
    ffmpeg: string;
    widthPx?: number | undefined;
    signal: AbortSignal;
    /** Hears of the stream as it begins: while nobody reads it, ffmpeg rests. */
    onStart: (stream: Readable) => void;
  },
  onStill: (frame: number, jpeg: Buffer) => void,
): Promise<void> {
  const { ffmpeg, widthPx, signal } = options;
  await assertThere(clip.path);
  const filters = clip.transfer === null ? new Set<string>() : await filtersOf(ffmpeg);
  const job = stillsJob(clip, frames, '', { ffmpeg, ...(widthPx ? { widthPx } : {}) }, filters);
  const format = job.options.indexOf('-f');
  const child = startChild(
    ffmpeg,
    [
      ...job.inputs.flatMap(({ options: before, source }) => [...before, '-i', source]),
      ...[...job.options.slice(0, format), '-f', 'image2pipe', '-loglevel', 'error', 'pipe:1'],
    ],
    { signal },
  );
  let count = 0;
  const split = jpegSplitter((jpeg) => {
    if (count < frames.length) onStill(frames[count++], jpeg);
  });
  child.stdout.on('data', split);
  options.onStart(child.stdout);
  await child.ended.catch((error: unknown) => {
    throw explainError(clip.path, error);
  });
  if (count === frames.length) return;
  throw new Failure(
    'unusableFile',
    `Frame ${frames[count]} of the clip cannot be read.`,
    'Bring the clip in again; if that does not help, export it anew from where it came.',
  );
}
