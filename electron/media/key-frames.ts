import { Failure } from '../../shared-lib/contract/errors.ts';
import { decodeFrames, type DecodedFrame, type DecodeOptions } from './decode.ts';
import type { PacketTimes } from './packet-times.ts';

/** Key frames that turned out not to be those that the container tells of, or not to come in its order: what was seen of them counts for nothing. */
export class OtherKeyFrames extends Error {}

/**
 * Decodes a clip's key frames in half of the time that a decoder needs that is handed every picture and leaves out the others: those stand
 * between one key frame and the next, so that it decodes one at a time. Here they are left out where the file is read, whose
 * times cannot be relied on then (ffmpeg 5.1 takes those of MP4 from entries a few pictures off); the container's own stand in their place.
 * Nor can their order: 14 of 32 HEVC films came in another.
 *
 * @throws OtherKeyFrames where they are not as many as the container tells of, or come at times that are nearer to another's
 */
export async function* decodeKeyFrames(
  file: string,
  options: Omit<DecodeOptions, 'keyFramesOnly'>,
  packets: Promise<PacketTimes | null>,
): AsyncGenerator<DecodedFrame, void, undefined> {
  const pictures = decodeFrames(file, { ...options, keyFramesOnly: 'where the file is read' });
  try {
    // Begun before the times are known: both take their time.
    const first = pictures.next();
    first.catch(() => undefined);
    const timesS = (await packets)?.keyPtsS ?? [];
    let count = 0;
    for (let next = await first; !next.done; next = await pictures.next(), count++) {
      if (!isNearest(timesS, count, next.value.ptsS)) throw new OtherKeyFrames();
      yield { ...next.value, ptsS: timesS[count] };
    }
    if (count < timesS.length) throw new OtherKeyFrames();
  } catch (error) {
    // What is wrong with the file shows when it is read in full.
    throw error instanceof Failure && error.kind === 'unusableFile' ? new OtherKeyFrames() : error;
  } finally {
    await pictures.return();
  }
}

/** Whether a time in ascending order is there, and none beside it is as near. */
function isNearest(timesS: readonly number[], at: number, toS: number): boolean {
  const away = (k: number): number => Math.abs((timesS.at(k) ?? NaN) - toS);
  return at < timesS.length && !(at > 0 && away(at - 1) <= away(at)) && !(away(at + 1) <= away(at));
}
