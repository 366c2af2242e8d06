import { inputArguments, seekArguments } from './arguments.ts';
import type { FfmpegJob } from './fluent.ts';

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
