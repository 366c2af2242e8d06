import { quantile } from 'd3-array';
import type { Timing } from '../contract/clip.ts';
import { median } from './statistics.ts';

/**
 * What a whole decode pass found in time.
 *
 * @param ptsS time stamps of all frames decoded, seconds of file time, in order of display
 * @param declaredFrames what the container declares; null where it declares nothing, and then nothing is missed
 * @param duplicatedFrames frames that repeat the picture before them, where they were counted
 * @throws RangeError for fewer than two frames: they have no interval
 */
export function summariseTiming(
  ptsS: ArrayLike<number>,
  declaredFrames: number | null,
  duplicatedFrames = 0,
): Timing {
  if (ptsS.length < 2) throw new RangeError(`${ptsS.length} frames have no interval`);
  const intervalsS = Float64Array.from({ length: ptsS.length - 1 }, (_, i) => ptsS[i + 1] - ptsS[i]);
  const medianIntervalS = median(intervalsS);
  return {
    decodedFrames: ptsS.length,
    partial: declaredFrames !== null && ptsS.length < declaredFrames,
    firstPtsS: ptsS[0],
    lastPtsS: ptsS[ptsS.length - 1],
    medianIntervalS,
    unevenness: quantile(intervalsS, 0.95)! / medianIntervalS,
    duplicatedFrames,
  };
}
