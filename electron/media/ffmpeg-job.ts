import { programLimits } from './limits.ts';
import { twiceAtMost } from '../restarts.ts';
import { ChildError, runChild } from './process.ts';

/** One run of ffmpeg that writes files. */
export interface FfmpegJob {
  /** Path of ffmpeg. */
  ffmpeg: string;
  /** Options that come before each `-i`, and what follows it. */
  inputs: readonly { options: readonly string[]; source: string }[];
  /** Everything between the inputs and the output; has it tell its progress on standard error. */
  options: readonly string[];
  /** The file, or pattern of files, to write. */
  output: string;
}

export interface JobOptions {
  signal?: AbortSignal | undefined;
  /** Each line on standard error. */
  onLine?: ((line: string) => void) | undefined;
  /** How long it may say nothing, milliseconds. */
  quietMs?: number;
}

/** The job's arguments, in order; a file that is there is written over. */
export const argumentsOf = ({ inputs, options, output }: Omit<FfmpegJob, 'ffmpeg'>): string[] => [
  ...inputs.flatMap((input) => [...input.options, '-i', input.source]),
  ...['-y', ...options, output],
];

/** A line of the list: what a filter can do, its name, and what goes in and comes out. */
const filterLine = /^\s*[T.][S.][C.]?\s+(\w+)\s+[AVN|]+->[AVN|]+/;
const known = new Map<string, Promise<ReadonlySet<string>>>();

/** The names of the filters that this ffmpeg has; asked once. @throws ChildError where it cannot be run */
export function filtersOf(ffmpeg: string): Promise<ReadonlySet<string>> {
  let filters = known.get(ffmpeg);
  if (!filters) {
    filters = listFilters(ffmpeg);
    known.set(ffmpeg, filters);
    filters.catch(() => known.delete(ffmpeg));
  }
  return filters;
}

async function listFilters(ffmpeg: string): Promise<ReadonlySet<string>> {
  const { stdout } = await runChild(ffmpeg, ['-hide_banner', '-nostdin', '-filters'], {
    quietMs: programLimits.quietMs,
  });
  return new Set(stdout.split('\n').flatMap((line) => filterLine.exec(line)?.[1] ?? []));
}

/**
 * Runs ffmpeg to its end. The child ends with this process, with the signal, and when it has said nothing for too long: with
 * `-progress` a job says several times a second that it lives. One that somebody else ended, as a system does that is short
 * of memory, or that stood still is started again once: its clips were read to their ends before.
 *
 * @throws Failure 'stopped'; ChildError with the arguments and the last lines when ffmpeg fails
 */
export async function runJob(
  job: FfmpegJob,
  { signal, onLine, quietMs = programLimits.quietMs }: JobOptions = {},
): Promise<void> {
  await twiceAtMost('ffmpeg', signal, isNoFaultOfItsOwn, () =>
    runChild(job.ffmpeg, argumentsOf(job), { signal, onErrorLine: onLine, quietMs }),
  );
}

const isNoFaultOfItsOwn = (error: unknown): boolean =>
  error instanceof ChildError && (error.wasKilled || error.overran);
