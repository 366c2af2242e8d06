import type { Lift } from '../contract/lift.ts';
import type { Motion } from '../contract/motion.ts';
import type { RepEvents, RepWindow } from '../contract/rep.ts';
import { excursionEvents } from './excursion-events.ts';
import { pullEvents } from './pull-events.ts';
import { atTime, samplesWithin } from './sampling.ts';
import type { Noise } from './thresholds.ts';

/**
 * The events of the one rep in `window`, between samples. Null where the bar is lost within the window or
 * the window does not hold a whole rep.
 */
export function findEvents(motion: Motion, window: RepWindow, lift: Lift, noise: Noise): RepEvents | null {
  const [first, last] = samplesWithin(motion, atTime(motion, window.fromS), atTime(motion, window.toS));
  if (last - first < 4) return null;
  for (let i = first; i <= last; i++) if (Number.isNaN(motion.yM[i])) return null;
  return lift === 'deadlift'
    ? pullEvents(motion, first, last, noise, window.fullRangeM)
    : excursionEvents(motion, first, last, lift === 'bench');
}
