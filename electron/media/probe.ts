import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { access, constants, stat } from 'node:fs/promises';
import path from 'node:path';
import { mediaInfoSchema, type MediaInfo } from '../../shared-lib/contract/clip.ts';
import { Failure } from '../../shared-lib/contract/errors.ts';
import type { MediaTools } from './find-ffmpeg.ts';
import { assertWithinLimits } from './limits.ts';
import { displayedSize } from './orientation.ts';
import { readWithFfprobe } from './probe-ffprobe.ts';
import { readContainerApart } from './container-apart.ts';
import { throwIfStopped } from './process.ts';
import { hasClipSignature, headOf } from './signature.ts';

/**
 * What a clip's container says, without decoding a picture.
 *
 * @throws Failure 'unusableFile' when the file is missing, no file, unreadable, empty, no video, only sound,
 *   cut short or a single picture; Failure 'stopped'
 */
export async function probeClip(file: string, tools: MediaTools, signal?: AbortSignal): Promise<MediaInfo> {
  throwIfStopped(signal);
  const bytes = await sizeOfReadable(file);
  const name = path.basename(file);
  if (!hasClipSignature(await headOf(file))) {
    throw unusable(
      `${name} is not a video that can be read.`,
      'Bring in an MP4, MOV, MKV, WebM or AVI file.',
    );
  }
  const facts = (await readContainerApart(file, signal)) ?? (await otherwise(file, tools, signal));
  if (facts === null) {
    throw unusable(`${name} has no video in it.`, 'Bring in the video itself, not its sound.');
  }
  const { storedWidthPx, storedHeightPx, turn, ...rest } = facts;
  if (!(storedWidthPx > 0 && storedHeightPx > 0)) {
    throw unusable(`${name} says nothing of the size of its pictures.`, 'Export it again as MP4.');
  }
  if (!(facts.durationS > 0) || (facts.declaredFrames ?? 2) < 2) {
    throw unusable(
      `${name} is no clip: it holds a single picture or none.`,
      'Bring in a video of the whole lift.',
    );
  }
  const stored = { widthPx: storedWidthPx, heightPx: storedHeightPx };
  const size = displayedSize(stored, facts.pixelAspect, turn);
  assertWithinLimits(file, { ...facts, ...stored });
  assertWithinLimits(file, { ...facts, ...size });
  const sha256 = await sha256Of(file, signal);
  return mediaInfoSchema.parse({ file, bytes, sha256, ...rest, ...size, rotationDeg: turn });
}

/** ffprobe for what the first reader leaves; it also says best what is wrong with a file. */
function otherwise(file: string, tools: MediaTools, signal: AbortSignal | undefined) {
  if (tools.ffprobe !== null) return readWithFfprobe(tools.ffprobe, file, signal);
  throw unusable(
    `${path.basename(file)} is not an MP4, MOV, MKV or WebM that can be read.`,
    'Export it as MP4, or install ffprobe, which reads more kinds of file.',
  );
}

/** Size in bytes of a file that is there, is a file, may be read and is not empty. */
async function sizeOfReadable(file: string): Promise<number> {
  const name = path.basename(file) || file;
  const found = await stat(file).catch((cause: NodeJS.ErrnoException) => {
    if (cause.code === 'ENOENT' || cause.code === 'ENOTDIR') {
      throw unusable(`There is no file ${file}.`, 'Check the path, or bring the clip in again.', cause);
    }
    throw unusable(`${name} cannot be opened (${cause.code}).`, 'Check that you may read it.', cause);
  });
  if (found.isDirectory()) throw unusable(`${name} is a folder.`, 'Choose a video file inside it.');
  if (!found.isFile()) throw unusable(`${name} is not a file.`, 'Choose a video file.');
  await access(file, constants.R_OK).catch((cause: unknown) => {
    throw unusable(
      `${name} may not be read.`,
      'Give yourself read permission for it, or copy it to a folder of your own.',
      cause,
    );
  });
  if (found.size === 0) {
    throw unusable(`${name} is empty.`, 'Copy or download the clip from the phone again.');
  }
  return found.size;
}

/** SHA-256 of a file's bytes as hexadecimal text, read as a stream. */
export async function sha256Of(file: string, signal?: AbortSignal): Promise<string> {
  const hash = createHash('sha256');
  for await (const chunk of createReadStream(file, { highWaterMark: 1 << 20 })) {
    throwIfStopped(signal);
    hash.update(chunk as Uint8Array);
  }
  return hash.digest('hex');
}

function unusable(what: string, advice: string, cause?: unknown): Failure {
  return new Failure('unusableFile', what, advice, { cause });
}
