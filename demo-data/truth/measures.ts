import type { Lift } from '../../shared-lib/contract/lift.ts';
import type { RepEvents } from '../../shared-lib/contract/rep.ts';
import type { MeasureName } from '../../shared-lib/contract/measures.ts';
import type { BarMotion } from '../motion/bar-motion.ts';
import { argMax, argMin, courseOf, firstIndex, lastIndex, stillStretches, type Course } from './course.ts';

/** Shorter stops do not count, seconds: the agreement on measures. */
const shortestStopS = 0.1;

type Measures = Partial<Record<MeasureName, number | null>>;

/** Measures of a rep on the exact motion; speeds of the descent are positive. */
export function measuresOf(motion: BarMotion, lift: Lift, events: RepEvents): Measures {
  const { startS, driveStartS, lockoutS } = events;
  const at = (tS: number) => motion.at(tS);
  const lowS = events.touchS ?? events.pauseStartS ?? events.bottomS;
  const out: Measures = {};
  if (lift !== 'deadlift' && lowS !== null && events.bottomS !== null) {
    const c = courseOf(motion, startS, lowS);
    const fastest = argMin(c.vMps, 0, c.tS.length);
    const bottomY = at(events.bottomS).yM;
    const above5cm = firstIndex(0, c.tS.length, (i) => c.yM[i] < bottomY + 0.05);
    out.rom_m = at(startS).yM - bottomY;
    out.depth_m = out.rom_m;
    out.descent_s = lowS - startS;
    out.pause_s =
      events.pauseStartS === null || events.pauseEndS === null ? null : events.pauseEndS - events.pauseStartS;
    out.mean_descent_mps = (at(startS).yM - at(lowS).yM) / (lowS - startS);
    out.peak_descent_mps = -c.vMps[fastest];
    out.peak_descent_height_m = c.yM[fastest] - bottomY;
    out.speed_5cm_mps = -c.vMps[above5cm];
    out.drift_bottom_m = at(events.touchS ?? events.bottomS).xM - at(startS).xM;
    if (lift === 'bench') out.sink_m = at(lowS).yM - bottomY;
  }
  if (lockoutS === null) return out;
  if (lift === 'deadlift') {
    out.rom_m = at(lockoutS).yM - at(startS).yM;
    const hold = courseOf(motion, lockoutS, Math.min(lockoutS + 1, motion.spanAt(lockoutS + 0.2).toS));
    out.sag_m = Math.max(0, at(lockoutS).yM - Math.min(...hold.yM));
  }
  const whole = courseOf(motion, startS, lockoutS);
  const x0 = at(startS).xM;
  out.drift_lockout_m = at(lockoutS).xM - x0;
  out.drift_max_m = whole.xM[argMax(whole.xM, 0, whole.tS.length)] - x0;
  out.drift_min_m = whole.xM[argMin(whole.xM, 0, whole.tS.length)] - x0;
  Object.assign(out, driveMeasures(courseOf(motion, driveStartS, lockoutS)));
  if (lift === 'bench' && events.touchS !== null) {
    const from = at(events.touchS);
    const to = at(lockoutS);
    const c = courseOf(motion, driveStartS, lockoutS);
    const length = Math.hypot(to.xM - from.xM, to.yM - from.yM);
    // Signed distance to the right of the line going up: positive forward.
    const off = c.xM.map(
      (x, i) => ((x - from.xM) * (to.yM - from.yM) - (c.yM[i] - from.yM) * (to.xM - from.xM)) / length,
    );
    const far = argMax(off.map(Math.abs), 0, off.length);
    out.bow_m = off[far];
  }
  return out;
}

function driveMeasures(c: Course): Measures {
  const n = c.tS.length;
  const [y0, range] = [c.yM[0], c.yM[n - 1] - c.yM[0]];
  const duration = c.tS[n - 1] - c.tS[0];
  const from = firstIndex(0, n, (i) => c.yM[i] >= y0 + 0.1 * range);
  const to = lastIndex(0, n, (i) => c.yM[i] <= y0 + 0.9 * range) + 1;
  const slowest = argMin(c.vMps, from, to);
  const percent = (i: number) => (100 * (c.yM[i] - y0)) / range;
  // The drive begins and ends at the still speed: those ends are no stops.
  const stops = stillStretches(c, c.tS[0], c.tS[n - 1], 0)
    .filter((s) => s.fromS > c.tS[1] && s.toS < c.tS[n - 2])
    .map((s) => s.toS - s.fromS)
    .filter((s) => s >= shortestStopS);
  let fall = 0;
  let highest = y0;
  for (const y of c.yM) {
    highest = Math.max(highest, y);
    fall = Math.max(fall, highest - y);
  }
  return {
    drive_s: duration,
    mean_drive_mps: range / duration,
    peak_drive_mps: c.vMps[argMax(c.vMps, 0, n)],
    slowest_mps: c.vMps[slowest],
    slowest_height_pct: percent(slowest),
    fall_m: fall,
    stops: stops.length,
    longest_stop_s: Math.max(0, ...stops),
    ...stickingMeasures(c, percent),
  };
}

/** The first peak, the minimum after it and the peak after that, where the minimum is a real dip. */
function stickingMeasures(c: Course, percent: (i: number) => number): Measures {
  const n = c.tS.length;
  const none = { sticking_mps: null, sticking_drop_mps: null, sticking_height_pct: null, sticking_s: null };
  const dip = firstIndex(
    1,
    n - 1,
    (i) => c.vMps[i] < c.vMps[i - 1] && c.vMps[i] <= c.vMps[i + 1] && percent(i) > 10,
  );
  if (dip < 0) return none;
  const before = argMax(c.vMps, 0, dip);
  const after = argMax(c.vMps, dip, n);
  const prominence = Math.min(c.vMps[before], c.vMps[after]) - c.vMps[dip];
  const lasts = c.tS[dip] - c.tS[before];
  if (prominence < 0.02 || lasts < 0.2) return none;
  return {
    sticking_mps: c.vMps[dip],
    sticking_drop_mps: c.vMps[before] - c.vMps[dip],
    sticking_height_pct: percent(dip),
    sticking_s: lasts,
  };
}
