import Ffmpeg from 'fluent-ffmpeg';
import { guardChild, type Guard } from './guard.ts';
import { programLimits } from './limits.ts';
import { ChildError, stopped, throwIfStopped } from './process.ts';

/**
 * The only module that imports fluent-ffmpeg, which is no longer maintained: it runs argument lists that
 * pure functions have made and adds nothing to them but `-y`. A plain spawn can take its place.
 */
export interface FfmpegJob {
  /** Path of ffmpeg. */
  ffmpeg: string;
  /** Options that come before each `-i`, and what follows it. */
  inputs: readonly { options: readonly string[]; source: string }[];
  /** Everything between the inputs and the output. */
  options: readonly string[];
  /** The file, or pattern of files, to write. */
  output: string;
}

export interface JobOptions {
  signal?: AbortSignal | undefined;
  /** Each line on standard error. */
  onLine?: ((line: string) => void) | undefined;
}

/** The library keeps the program's path and what it can do for the whole process, so both are set per job. */
function newCommand(ffmpeg: string): Ffmpeg.FfmpegCommand {
  return Ffmpeg({ stdoutLines: 30 }).setFfmpegPath(ffmpeg);
}

/** Adds options one by one: a list of one string would be split at its space. */
function addAll(add: (...options: string[]) => unknown, options: readonly string[]): void {
  if (options.length === 1) throw new RangeError(`An option without its value: ${options[0]}`);
  if (options.length > 0) add(...options);
}

/** The job as a command of the library, ready to run. */
export function commandOf(job: FfmpegJob): Ffmpeg.FfmpegCommand {
  const command = newCommand(job.ffmpeg);
  for (const input of job.inputs) {
    command.input(input.source);
    addAll((...options) => command.inputOptions(...(options as [string])), input.options);
  }
  command.output(job.output);
  addAll((...options) => command.outputOptions(...(options as [string])), job.options);
  return command;
}

/**
 * The names of the filters that this ffmpeg has. It also warms the library's own look at formats and
 * encoders, which it takes before each start.
 */
export function filtersOf(ffmpeg: string): Promise<ReadonlySet<string>> {
  return new Promise((resolve, reject) => {
    newCommand(ffmpeg).availableFilters((error, filters) => {
      if (error instanceof Error)
        reject(new ChildError(ffmpeg, ['-filters'], null, null, [], { cause: error }));
      else resolve(new Set(Object.keys(filters)));
    });
  });
}

/**
 * Runs ffmpeg to its end. The child ends with this process and with the signal; a job whose signal was
 * raised before its start is never started.
 *
 * @throws Failure 'stopped'; ChildError with the arguments and the last lines when ffmpeg fails
 */
export async function runJob(job: FfmpegJob, options: JobOptions = {}): Promise<void> {
  const { signal, onLine } = options;
  throwIfStopped(signal);
  await filtersOf(job.ffmpeg);
  throwIfStopped(signal);
  await new Promise<void>((resolve, reject) => {
    const command = commandOf(job);
    let guard: Guard | null = null;
    const kill = (): void => void command.kill('SIGKILL');
    let overran = false;
    // With -progress a job says every second that it lives.
    const quiet = setTimeout(() => {
      overran = true;
      kill();
    }, programLimits.quietMs);
    const settle = (error: ChildError | null): void => {
      clearTimeout(quiet);
      signal?.removeEventListener('abort', kill);
      guard?.release();
      if (signal?.aborted) reject(stopped());
      else if (error) reject(error);
      else resolve();
    };
    command.on('start', () => {
      // The library forgets a kill that comes before this moment.
      if (signal?.aborted) return kill();
      const pid = (command as { ffmpegProc?: { pid?: number } }).ffmpegProc?.pid;
      if (pid !== undefined) guard = guardChild(pid);
    });
    command.on('stderr', (line: string) => {
      quiet.refresh();
      onLine?.(line);
    });
    command.on('end', () => settle(null));
    command.on('error', (error, _stdout, stderr) => {
      const status = /exited with code (\d+)/.exec(error.message)?.[1];
      const lines = (stderr ?? '').split('\n').filter((line) => line !== '');
      const args = command._getArguments();
      const code = status === undefined ? null : Number(status);
      const signal = /killed with signal (SIG\w+)/.exec(error.message)?.[1] ?? null;
      settle(
        new ChildError(
          ...([job.ffmpeg, args, code, signal as NodeJS.Signals | null, lines] as const),
          ...([{ cause: error }, overran] as const),
        ),
      );
    });
    signal?.addEventListener('abort', kill, { once: true });
    command.run();
  });
}
