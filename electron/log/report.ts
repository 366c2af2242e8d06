import { cpus, totalmem, type, release, arch } from 'node:os';
import { runChild } from '../media/process.ts';
import type { MediaTools } from '../media/find-ffmpeg.ts';
import type { Log } from './log.ts';

const mostLines = 200;

/** A report of a fault, to be read before it is sent: the machine's kind, versions, and the newest lines of the log. */
export async function reportText(version: string, log: Log, tools: () => MediaTools): Promise<string> {
  const facts = {
    Lockstep: version,
    System: systemWords(),
    Cores: String(cpus().length),
    'Memory, GB': (totalmem() / 1e9).toFixed(0),
    Node: process.versions.node,
    Electron: process.versions.electron ?? 'none',
    ffmpeg: (await ffmpegVersion(tools)) ?? 'not found',
  };
  const lines = await log.tail(mostLines);
  return [
    'Report on Lockstep. It was written on this machine and has been sent nowhere.',
    'It holds no name, note, picture or path.',
    '',
    ...Object.entries(facts).map(([name, value]) => `${name}: ${value}`),
    '',
    lines.length === 0 ? 'The log is empty.' : 'The newest lines of the log:',
    ...lines,
    '',
  ].join('\n');
}

export const systemWords = (): string => `${type()} ${release()} ${arch()}`;

/** The version that ffmpeg states; null where there is none. */
export async function ffmpegVersion(tools: () => MediaTools): Promise<string | null> {
  try {
    const { stdout } = await runChild(tools().ffmpeg, ['-version'], { mostOutput: 1e5 });
    return /^ffmpeg version ([\w.+~:-]{1,60})/.exec(stdout)?.[1] ?? null;
  } catch {
    return null;
  }
}
