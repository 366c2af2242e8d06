import type { RepFileEntry } from '../contract/files.ts';
import type { Lift } from '../contract/lift.ts';
import type { RepWindow } from '../contract/rep.ts';
import { samplesWithin } from './charts/bar-path.ts';
import type { BarPath, EventMark, Phase } from './page-input.ts';

type Bound = readonly [name: Phase['name'], fromS: number | null, toS: number | null];

/**
 * A rep's phases from its events, in time order; the window gives the set-up its beginning and the hold its end.
 * A rep that touched and went has no pause: its descent lasts until the drive starts.
 */
export function phasesOf(lift: Lift, rep: RepFileEntry, window: RepWindow): Phase[] {
  const { start_s: start, drive_start_s: drive, lockout_s: lockout } = rep;
  const paused = rep.pause_start_s !== null && rep.pause_end_s !== null;
  const bounds: Bound[] =
    lift === 'deadlift'
      ? [['set-up', window.fromS, drive ?? start]]
      : [
          ['set-up', window.fromS, start],
          ['descent', start, paused ? rep.pause_start_s : (drive ?? rep.bottom_s)],
          ['pause', paused ? rep.pause_start_s : null, drive ?? rep.pause_end_s],
        ];
  bounds.push(['drive', drive, lockout ?? window.toS], ['hold', lockout, window.toS]);
  return bounds.flatMap(([name, fromS, toS]) =>
    fromS !== null && toS !== null && toS > fromS ? [{ name, fromS, toS }] : [],
  );
}

/** When the bar was slowest between 10 and 90 % of the drive's range; null where the path does not say. */
export function slowestS(rep: RepFileEntry, path: BarPath): number | null {
  if (rep.drive_start_s === null) return null;
  const drive = samplesWithin(path, rep.drive_start_s, rep.lockout_s ?? Infinity);
  const heights = drive.map((i) => path.yM[i]).filter(Number.isFinite);
  const [low, high] = [Math.min(...heights), Math.max(...heights)];
  const middle = drive.filter((i) => {
    const share = (path.yM[i] - low) / (high - low);
    return share >= 0.1 && share <= 0.9;
  });
  // It may have been slower where it was not seen.
  if (middle.length === 0 || !middle.every((i) => Number.isFinite(path.vyMps[i]))) return null;
  return path.tS[middle.reduce((slowest, i) => (path.vyMps[i] < path.vyMps[slowest] ? i : slowest))];
}

/** The events of a rep by their words, in time order, and its slowest point. */
export function eventsOf(lift: Lift, rep: RepFileEntry, path: BarPath): EventMark[] {
  const found: [string, number | null][] =
    lift === 'deadlift'
      ? [['lift-off', rep.drive_start_s ?? rep.start_s]]
      : [
          ['start', rep.start_s],
          ['touch', rep.touch_s],
          ['bottom', rep.bottom_s],
          ['drive start', rep.drive_start_s],
        ];
  found.push(['slowest point', slowestS(rep, path)], ['lockout', rep.lockout_s]);
  return found.flatMap(([name, tS]) => (tS === null ? [] : [{ name, tS }])).sort((a, b) => a.tS - b.tS);
}
