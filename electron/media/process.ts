import { spawn, type ChildProcessByStdio } from 'node:child_process';
import type { Socket } from 'node:net';
import type { Readable } from 'node:stream';
import { Failure } from '../../shared-lib/contract/errors.ts';
import type { DirectPipe } from './direct-pipe.ts';
import { guardChild } from './guard.ts';
import { limitedCommand, type ChildLimits } from './limited-command.ts';
import { lineSplitter } from './lines.ts';

/** How many of the last lines on standard error a failed child keeps. */
const keptLines = 30;

/** A child that ended badly: what was run, how it ended and what it said last. */
export class ChildError extends Error {
  constructor(
    readonly program: string,
    readonly args: readonly string[],
    /** Exit status; null when a signal ended it or it never started. */
    readonly exitCode: number | null,
    readonly killSignal: NodeJS.Signals | null,
    readonly lastLines: readonly string[],
    options?: ErrorOptions,
    /** It was ended for taking too long or writing too much. */
    readonly overran = false,
  ) {
    const end = exitCode !== null ? `status ${exitCode}` : (killSignal ?? 'no start');
    super([`${program} ended with ${end}`, ...lastLines.slice(-3)].join('\n'), options);
    this.name = 'ChildError';
  }

  /** Whether somebody else ended it, as a system does that is short of memory: it may do better a second time. */
  get wasKilled(): boolean {
    return !this.overran && ['SIGKILL', 'SIGTERM'].includes(this.killSignal ?? '');
  }
}

/** What a caller catches when the user stopped the job. */
export function stopped(): Failure {
  return new Failure('stopped', 'Stopped before it was done.', 'Start it again when you like.');
}

/** Throws `stopped` when the signal has been raised. */
export function throwIfStopped(signal: AbortSignal | undefined): void {
  if (signal?.aborted) throw stopped();
}

export interface ChildOptions {
  signal?: AbortSignal | undefined;
  /** Each line on standard error, without its end. */
  onErrorLine?: ((line: string) => void) | undefined;
  /** What the operating system lets it take. */
  limits?: ChildLimits | undefined;
  /** Ends it when it has written nothing for this long while its reader waits, milliseconds. */
  quietMs?: number | undefined;
  /** Takes standard output in place of a stream; read it, and see it end. */
  stdout?: DirectPipe | undefined;
}

export interface Child {
  readonly pid: number | undefined;
  readonly stdout: Readable;
  /** Settles when the child is gone and its pipes are closed: rejects with ChildError, or Failure 'stopped'. */
  readonly ended: Promise<void>;
  /** The last lines on standard error so far. */
  lastLines(): readonly string[];
  /** Ends the child at once; `ended` then rejects with a ChildError. */
  kill(): void;
  /** The same for one that takes more than it may: its ChildError then says so. */
  overrun(): void;
}

/**
 * Starts a program that ends with this process and with the signal. Arguments go as an array, never
 * through a shell. A signal raised before the start throws `stopped` and starts nothing.
 */
export function startChild(program: string, args: readonly string[], options: ChildOptions = {}): Child {
  const { signal, onErrorLine, limits, quietMs } = options;
  throwIfStopped(signal);
  const direct = options.stdout;
  const command = limits ? limitedCommand(program, args, limits, process.platform) : { program, args };
  const child = spawn(command.program, command.args, {
    stdio: ['ignore', direct?.writer ?? 'pipe', 'pipe'],
    windowsHide: true,
  }) as ChildProcessByStdio<null, Readable | null, Readable>;
  direct?.writer.destroy();
  const stdout = direct?.reader ?? child.stdout!;
  const guard = child.pid === undefined ? null : guardChild(child.pid);
  const lastLines: string[] = [];
  const kill = (): void => void child.kill('SIGKILL');
  signal?.addEventListener('abort', kill, { once: true });
  let overran = false;
  const overrun = (): void => {
    overran = true;
    kill();
  };
  const unwatch = quietMs === undefined ? null : whenQuiet([stdout, child.stderr], quietMs, overrun);

  const split = lineSplitter((line) => {
    lastLines.push(line);
    if (lastLines.length > keptLines) lastLines.shift();
    onErrorLine?.(line);
  });
  child.stderr.setEncoding('utf8');
  child.stderr.on('data', split.push);

  const ended = new Promise<void>((resolve, reject) => {
    const settle = (code: number | null, killSignal: NodeJS.Signals | null, cause?: Error): void => {
      signal?.removeEventListener('abort', kill);
      guard?.release();
      unwatch?.();
      split.end();
      if (signal?.aborted) reject(stopped());
      else if (code === 0) resolve();
      else reject(new ChildError(program, args, code, killSignal, lastLines, cause && { cause }, overran));
    };
    child.on('error', (error) => {
      // 'error' after the start (a failed kill) is followed by 'close'; before it, nothing else comes.
      if (child.pid === undefined) settle(null, null, error);
    });
    child.on('close', (code, killSignal) => settle(code, killSignal));
  });
  // The caller may look at `ended` only later; until then a rejection is not unhandled.
  ended.catch(() => undefined);
  return { pid: child.pid, stdout, ended, lastLines: () => lastLines, kill, overrun };
}

/**
 * Calls `onQuiet` once nothing has come out of any of the pipes for `quietMs` while none holds anything unread: a
 * reader that rests is no fault of the writer's. Returns how to stop watching.
 */
function whenQuiet(pipes: readonly Readable[], quietMs: number, onQuiet: () => void): () => void {
  // A child's pipes are sockets, which count.
  const heard = (): number => pipes.reduce((sum, pipe) => sum + (pipe as Socket).bytesRead, 0);
  let before = 0;
  const timer = setInterval(() => {
    const now = heard();
    if (now === before && pipes.every((pipe) => pipe.readableLength === 0 && !pipe.isPaused())) onQuiet();
    before = now;
  }, quietMs);
  timer.unref();
  return () => clearInterval(timer);
}

export interface RunOptions extends ChildOptions {
  /** Each line on standard output, for progress; with it `stdout` stays empty. */
  onLine?: ((line: string) => void) | undefined;
  /** Ends it when its standard output is longer than this, characters. */
  mostOutput?: number | undefined;
}

/**
 * Runs a program to its end.
 * @throws ChildError when it ends with another status than 0; Failure 'stopped' when the signal was raised
 */
export async function runChild(
  program: string,
  args: readonly string[],
  options: RunOptions = {},
): Promise<{ stdout: string; lastLines: readonly string[] }> {
  const child = startChild(program, args, options);
  let stdout = '';
  const { mostOutput = Infinity } = options;
  const split = options.onLine && lineSplitter(options.onLine);
  child.stdout.setEncoding('utf8');
  child.stdout.on('data', (text: string) => {
    if (split) split.push(text);
    else if (stdout.length + text.length <= mostOutput) stdout += text;
    else child.overrun();
  });
  await child.ended;
  split?.end();
  return { stdout, lastLines: child.lastLines() };
}
