import { inputArguments, clipStream } from './arguments.ts';
import { clipLimits, readerOptions } from './limits.ts';
import { ChildError, runChild } from './process.ts';

/** Time stamps in order of display, seconds of file time. */
export interface PacketTimes {
  /** Of all pictures; what an edit list cuts off and what cannot be decoded is among them. */
  ptsS: readonly number[];
  /** Of key frames; what an edit list cuts off is not among them. */
  keyPtsS: readonly number[];
}

/** What stands for a time that is not told: AV_NOPTS_VALUE of libavutil (from memory). */
const untold = -(2 ** 63);

/**
 * When a clip's pictures are to be shown, as its container tells it: no picture is decoded.
 *
 * @returns null where the container does not tell the time of each
 */
export async function packetTimes(
  file: string,
  ffmpeg: string,
  signal?: AbortSignal,
): Promise<PacketTimes | null> {
  const copy = ['-map', clipStream, '-c', 'copy', '-frames:v', String(clipLimits.frames + 1)];
  const args = ['-hide_banner', '-nostdin', '-v', 'error', '-copyts', ...inputArguments(file), ...copy];
  let secondsPerTick = NaN;
  const ptsS: number[] = [];
  const keyPtsS: number[] = [];
  const onLine = (line: string): void => {
    const base = /^#tb 0: (\d+)\/(\d+)/.exec(line);
    if (base) secondsPerTick = Number(base[1]) / Number(base[2]);
    if (line.startsWith('#')) return;
    const fields = line.split(',');
    const ticks = Number(fields[2]);
    const timeS = ticks === untold ? NaN : ticks * secondsPerTick;
    ptsS.push(timeS);
    // Flags are told, in a seventh field, of whatever is not a key frame to be shown and no more (libavformat's framecrc, from memory).
    if (fields.length === 6) keyPtsS.push(timeS);
  };
  try {
    await runChild(ffmpeg, [...args, '-f', 'framecrc', 'pipe:1'], { ...readerOptions, signal, onLine });
  } catch (error) {
    if (error instanceof ChildError && !error.wasKilled) return null;
    throw error;
  }
  const inOrder = (times: number[]): number[] => times.sort((a, b) => a - b);
  return ptsS.every(Number.isFinite) ? { ptsS: inOrder(ptsS), keyPtsS: inOrder(keyPtsS) } : null;
}
