import { inputArguments, clipStream } from './arguments.ts';
import { clipLimits, readerOptions } from './limits.ts';
import { ChildError, runChild } from './process.ts';

/**
 * The time stamps of a clip's pictures in order of display, seconds of file time, as its container tells them: no picture
 * is decoded. What an edit list cuts off and what cannot be decoded is among them.
 *
 * @returns null where the container does not tell the time of each
 */
export async function packetTimes(
  file: string,
  ffmpeg: string,
  signal?: AbortSignal,
): Promise<number[] | null> {
  const copy = ['-map', clipStream, '-c', 'copy', '-frames:v', String(clipLimits.frames + 1)];
  const args = ['-hide_banner', '-nostdin', '-v', 'error', '-copyts', ...inputArguments(file), ...copy];
  let secondsPerTick = NaN;
  const ptsS: number[] = [];
  const onLine = (line: string): void => {
    const base = /^#tb 0: (\d+)\/(\d+)/.exec(line);
    if (base) secondsPerTick = Number(base[1]) / Number(base[2]);
    if (!line.startsWith('#')) ptsS.push(Number(line.split(',')[2]) * secondsPerTick);
  };
  try {
    await runChild(ffmpeg, [...args, '-f', 'framecrc', 'pipe:1'], { ...readerOptions, signal, onLine });
  } catch (error) {
    if (error instanceof ChildError && !error.wasKilled) return null;
    throw error;
  }
  return ptsS.every(Number.isFinite) ? ptsS.sort((a, b) => a - b) : null;
}
