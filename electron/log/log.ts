import { readdir, readFile } from 'node:fs/promises';
import { constants } from 'node:os';
import path from 'node:path';
import { pino } from 'pino';
import roll from 'pino-roll';
import { errorShape, type KnownWords } from '../../shared-lib/log/error-shape.ts';
import { logEntrySchema, type ErrorShape, type LogEntry } from '../../shared-lib/contract/log.ts';

/** Each file's most, and how many older ones are kept beside the one that is written. */
const fileSize = '256k';
const olderFiles = 3;

/** What happened to the program, in files that a person can read: never what a person or a clip said. */
export interface Log {
  /** Where its files are. */
  folder: string;
  write(entry: LogEntry): void;
  /** What may be told of an error. */
  shapeOf(error: unknown): ErrorShape;
  /** The newest lines, oldest first. */
  tail(lines: number): Promise<string[]>;
  close(): void;
}

/**
 * Opens the log in a folder. Where the folder cannot be written, nothing is logged and nothing fails.
 *
 * @param scripts the folder of the program's own scripts, whose names may be told
 */
export async function openLog(folder: string, scripts: string): Promise<Log> {
  const known: KnownWords = {
    scripts: new Set((await readdir(scripts).catch(() => [])).filter((name) => /\.[cm]?[jt]s$/.test(name))),
    codes: new Set(Object.keys(constants.errno)),
  };
  const stream = await roll({
    file: path.join(folder, 'lockstep.log'),
    size: fileSize,
    limit: { count: olderFiles, removeOtherLogFiles: true },
    mkdir: true,
    sync: true,
  }).catch(() => null);
  // A full disk silences the log; the work goes on.
  stream?.on('error', () => undefined);
  const writer = stream && pino({ base: null, timestamp: pino.stdTimeFunctions.isoTime }, stream);
  return {
    folder,
    write(entry) {
      // Only what the schema names goes in, whatever else the value carries.
      const { event, ...rest } = logEntrySchema.parse(entry);
      if (event === 'fault' || event === 'restarted') writer?.error(rest, event);
      else writer?.info(rest, event);
    },
    shapeOf: (error) => errorShape(error, known),
    tail: (lines) => tailOf(folder, lines),
    close: () => stream?.end(),
  };
}

async function tailOf(folder: string, lines: number): Promise<string[]> {
  const numberOf = (name: string): number => Number(/\.(\d+)\.log$/.exec(name)?.[1] ?? 0);
  const names = (await readdir(folder).catch(() => []))
    .filter((name) => /^lockstep\.\d+\.log$/.test(name))
    .sort((a, b) => numberOf(a) - numberOf(b));
  const texts = await Promise.all(names.map((name) => readFile(path.join(folder, name), 'utf8')));
  return texts.join('').split('\n').filter(Boolean).slice(-lines);
}
