import type { MeasureName } from '../contract/measures.ts';
import type { RepFrame } from './rep-frame.ts';
import { type At, crossing, highest, lowest, samplesWithin } from './sampling.ts';
import { leastExcursionM, startZoneM, stillMps } from './thresholds.ts';

type SetUpName = Extract<MeasureName, 'settle_s' | 'setup_sway_m'>;

const swayS = 1;
/** A bar that has been farther from the start position is being brought there, metres. */
const awayM = 0.05;
/** Settled means slower than the still speed, both ways, for this long, seconds. */
const settledS = 0.3;
/** A rep before this one shows within this time before the bar comes back to the start position, seconds. */
const lookBackS = 1;

/**
 * Sway (horizontal range) in the second before the start, as far back as the bar has stayed at its starting height once it came to rest
 * there: what a rep before did at its end is no set-up. And the settling time: from when the bar last
 * comes within 5 cm of the start position until it has come to rest there. No settling time where the clip
 * does not show the bar being brought to the start, nor for a deadlift.
 */
export function setUpMeasures(rep: RepFrame): Record<SetUpName, number | null> {
  const { motion, start } = rep;
  const { xM: x, dtS } = motion;
  const from = thereFrom(rep, start - swayS / dtS);
  const sway =
    from < start ? highest(motion, x, from, start).value - lowest(motion, x, from, start).value : null;
  return { settle_s: rep.lift === 'deadlift' ? null : settling(rep), setup_sway_m: sway };
}

/** Since when the bar has been seen at its starting height, and at rest where it came there, at most since `from`. */
function thereFrom({ motion, start, originYM }: RepFrame, from: At): At {
  const { xM: x, yM: y, vyMps: vy } = motion;
  const [first, last] = samplesWithin(motion, from, start);
  let came = last;
  while (came >= first && !Number.isNaN(x[came]) && Math.abs(y[came] - originYM) <= startZoneM) came--;
  if (came < first && from >= 0) return from;
  let i = came + 1;
  while (i <= last && Math.abs(vy[i]) > stillMps) i++;
  if (i > last) return start;
  if (i > came + 1) return crossing(vy, i - 1, Math.sign(vy[i - 1]) * stillMps);
  // It may have slowed down before it came there, or before it was seen.
  const isSeen = came >= first && !Number.isNaN(x[came]);
  return isSeen ? crossing(y, came, originYM + Math.sign(y[came] - originYM) * startZoneM) : i;
}

function settling({ motion, start, originXM, originYM }: RepFrame): number | null {
  const { xM: x, yM: y, vxMps: vx, vyMps: vy, dtS } = motion;
  let came = Math.floor(start);
  while (came >= 0 && (x[came] - originXM) ** 2 + (y[came] - originYM) ** 2 <= awayM * awayM) came--;
  if (came < 0 || Number.isNaN(x[came])) return null;
  const [first] = samplesWithin(motion, came - lookBackS / dtS, came);
  for (let i = came; i >= first; i--) if (y[i] < originYM - leastExcursionM) return null;
  let stillSince = -1;
  for (let i = came + 1; i <= start; i++) {
    if (vx[i] * vx[i] + vy[i] * vy[i] >= stillMps * stillMps) stillSince = -1;
    else if (stillSince < 0) stillSince = i;
    if (stillSince >= 0 && (i - stillSince) * dtS >= settledS) return (stillSince - came) * dtS;
  }
  return (start - came) * dtS;
}
