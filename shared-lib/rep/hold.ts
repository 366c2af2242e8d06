import type { MeasureName } from '../contract/measures.ts';
import type { RepFrame } from './rep-frame.ts';
import { type At, highest, lowest, samplesWithin } from './sampling.ts';
import { stillMps } from './thresholds.ts';

type HoldName = Extract<MeasureName, 'sag_m' | 'hold_sway_m'>;

const holdS = 1;
/** A bar that goes down by more within the hold is being lowered: the hold ends where that begins, metres. */
const loweredM = 0.05;
/** Lowering that begins within the hold shows by this long after it, seconds. */
const lookOnS = 0.5;

/** Sag (the greatest descent) and sway (horizontal range) in the second after lockout, or as long as it is held. */
export function holdMeasures(rep: RepFrame): Record<HoldName, number | null> {
  const { motion, lockout } = rep;
  if (lockout === null) return { sag_m: null, hold_sway_m: null };
  const end = holdEnd(rep, lockout);
  const { yM: y, xM: x } = motion;
  let top = -Infinity;
  let sag = 0;
  const [first, last] = samplesWithin(motion, lockout, end);
  for (let i = first; i <= last; i++) {
    top = Math.max(top, y[i]);
    sag = Math.max(sag, top - y[i]);
  }
  const sway = highest(motion, x, lockout, end).value - lowest(motion, x, lockout, end).value;
  return { sag_m: sag, hold_sway_m: sway };
}

/** The end of the second after lockout, or where before it the bar is lost or its lowering begins. */
function holdEnd({ motion }: RepFrame, lockout: At): At {
  const { yM: y, vyMps: v, dtS } = motion;
  const end = lockout + holdS / dtS;
  const [first, last] = samplesWithin(motion, lockout, end + lookOnS / dtS);
  let top = -Infinity;
  for (let i = first; i <= last; i++) {
    if (Number.isNaN(y[i])) return Math.max(lockout, Math.min(end, i - 1));
    top = Math.max(top, y[i]);
    if (y[i] < top - loweredM) {
      let begin = i;
      while (begin > first && v[begin] < -stillMps) begin--;
      return Math.min(end, begin);
    }
  }
  return Math.min(end, last);
}
