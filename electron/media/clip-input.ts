import { access, constants } from 'node:fs/promises';
import { Failure } from '../../shared-lib/contract/errors.ts';
import { inputArguments, seekArguments } from './arguments.ts';
import type { FfmpegJob } from './ffmpeg-job.ts';

/**
 * A clip as the input of a job, read from the key frame before a time, with the file's own time stamps.
 *
 * @param fromS file time of the first frame wanted
 */
export function clipInput(file: string, fromS: number): FfmpegJob['inputs'][number] {
  const args = inputArguments(file);
  return {
    options: ['-nostdin', '-copyts', ...seekArguments({ fromS }), ...args.slice(0, -2)],
    source: args.at(-1)!,
  };
}

/** @throws Failure 'unusableFile' when a clip that was brought in earlier cannot be read any more */
export async function assertThere(file: string): Promise<void> {
  try {
    await access(file, constants.R_OK);
  } catch (cause) {
    throw new Failure(
      'unusableFile',
      `${file} is not there any more, or may not be read.`,
      'Put the clip back where it was, or bring it in again.',
      { cause },
    );
  }
}
