import { accessSync, chmodSync, constants, existsSync, statSync } from 'node:fs';
import { createRequire } from 'node:module';
import path from 'node:path';
import { packedResource } from '../packed-resource.ts';
import { Failure } from '../../shared-lib/contract/errors.ts';

/** The programs that read and write clips. */
export interface MediaTools {
  ffmpeg: string;
  /** Only odd files need it; null where there is none. */
  ffprobe: string | null;
}

export interface FindOptions {
  /** A path the user has set; before everything else. */
  ffmpeg?: string | undefined;
  ffprobe?: string | undefined;
  env?: NodeJS.ProcessEnv;
  /** Packages that carry a binary; replaced in tests. */
  packaged?: { ffmpeg(): string | null; ffprobe(): string | null };
}

const require = createRequire(import.meta.url);

/** Path of the binary that an installed package carries; null where the package or its binary is missing. */
function fromPackage(load: () => unknown): string | null {
  try {
    const file = load();
    return typeof file === 'string' && existsSync(file) ? file : null;
  } catch {
    return null;
  }
}

const programName = (name: string): string => (process.platform === 'win32' ? `${name}.exe` : name);

/** Beside an installed program's archive, else in the packages that carry them. */
const installedPackages = {
  ffmpeg: () =>
    packedResource(`media/${programName('ffmpeg')}`) ??
    fromPackage(() => require('ffmpeg-static') as unknown),
  ffprobe: () =>
    packedResource(`media/${programName('ffprobe')}`) ??
    fromPackage(() => (require('@ffprobe-installer/ffprobe') as { path: unknown }).path),
};

/** Whether the file can be run; a packaged binary that lost its x bit on the way gets it back. */
function isRunnable(file: string, repair: boolean): boolean {
  try {
    if (!statSync(file).isFile()) return false;
    if (repair) chmodIfNeeded(file);
    accessSync(file, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}

function chmodIfNeeded(file: string): void {
  const { mode } = statSync(file);
  // The x bit for whoever may read it: `npm ci` run by another user leaves it to the owner alone.
  const wanted = mode | ((mode & 0o444) >> 2);
  if (mode !== wanted) {
    try {
      chmodSync(file, wanted);
    } catch {
      // Not ours to change; whether it runs all the same is tested next.
    }
  }
}

/** Full path of a program on the search path; null where there is none. */
export function onSearchPath(name: string, env: NodeJS.ProcessEnv): string | null {
  const searchPath = env['PATH'] ?? env['Path'] ?? '';
  for (const folder of searchPath.split(path.delimiter)) {
    if (folder === '') continue;
    const file = path.join(folder, programName(name));
    if (isRunnable(file, false)) return file;
  }
  return null;
}

/**
 * Where ffmpeg is: the path the user set, the one an installed package carries, the system's.
 * @throws Failure 'unusableFile' with what to install when there is none
 */
export function findFfmpeg(options: FindOptions = {}): string {
  const env = options.env ?? process.env;
  const set = options.ffmpeg ?? env['LOCKSTEP_FFMPEG'];
  if (set !== undefined && set !== '') {
    if (isRunnable(set, false)) return path.resolve(set);
    throw new Failure(
      'unusableFile',
      `The ffmpeg that was set, ${set}, is not a program that can be run.`,
      'Set LOCKSTEP_FFMPEG to the path of ffmpeg, or unset it.',
    );
  }
  const packaged = (options.packaged ?? installedPackages).ffmpeg();
  if (packaged !== null && isRunnable(packaged, true)) return packaged;
  const system = onSearchPath('ffmpeg', env);
  if (system !== null) return system;
  throw new Failure('unusableFile', 'ffmpeg, which reads and writes video, was not found.', installAdvice);
}

const installAdvice =
  'Install ffmpeg 5.1 or later (Debian, Ubuntu: apt-get install ffmpeg; macOS: brew install ffmpeg; Windows: winget install ffmpeg), or set LOCKSTEP_FFMPEG to its path.';

/** Where ffprobe is, found as ffmpeg is (LOCKSTEP_FFPROBE); null where there is none. */
export function findFfprobe(options: FindOptions = {}): string | null {
  const env = options.env ?? process.env;
  const set = options.ffprobe ?? env['LOCKSTEP_FFPROBE'];
  if (set !== undefined && set !== '' && isRunnable(set, false)) return path.resolve(set);
  const packaged = (options.packaged ?? installedPackages).ffprobe();
  if (packaged !== null && isRunnable(packaged, true)) return packaged;
  return onSearchPath('ffprobe', env);
}

/** Both programs. @throws Failure 'unusableFile' when ffmpeg is missing */
export function findTools(options: FindOptions = {}): MediaTools {
  return { ffmpeg: findFfmpeg(options), ffprobe: findFfprobe(options) };
}
