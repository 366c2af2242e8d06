import type { LineUp } from '../../../shared-lib/contract/line-up.ts';
import { buildTimeMap, mapTime } from '../../../shared-lib/pair/time-map.ts';
import type { SideName } from '../../../shared-lib/contract/review.ts';
import { byHeight, type RepPath } from '../../../shared-lib/pair/line-up.ts';

export type RunBy = 'clock' | 'phase' | 'height';

/** One clock for both reps: seconds from 0, and each rep's own real time on it. */
export interface Timeline {
  durationS: number;
  referenceS: (atS: number) => number;
  todayS: (atS: number) => number;
  /** Where a time of one rep lies on the clock. */
  ofReference: (tS: number) => number;
  ofToday: (tS: number) => number;
}

/** How much is shown before the first matched event and after the last, seconds. */
const aroundS = 0.8;

/** The bottom of a paused bar is any moment of the pause: the drive's start keeps both in step. */
const stepKnots = ({ pair }: LineUp) => pair.knots.filter(({ event }) => event !== 'bottom');

export function timelineOf(lineUp: LineUp, runBy: RunBy): Timeline {
  const knots = stepKnots(lineUp);
  if (runBy === 'clock') {
    const at = knots.find(({ event }) => event === 'drive start') ?? knots[0];
    const first = Math.min(...knots.map((k) => Math.min(k.referenceS - at.referenceS, k.todayS - at.todayS)));
    const last = Math.max(...knots.map((k) => Math.max(k.referenceS - at.referenceS, k.todayS - at.todayS)));
    const zero = aroundS - first;
    return {
      durationS: last - first + 2 * aroundS,
      referenceS: (s) => s - zero + at.referenceS,
      todayS: (s) => s - zero + at.todayS,
      ofReference: (t) => t - at.referenceS + zero,
      ofToday: (t) => t - at.todayS + zero,
    };
  }
  const map = buildTimeMap(knots, { clock: runBy === 'phase' ? 'phase' : 'reference', leadS: aroundS });
  const outS = map.outS;
  const referenceS = (s: number): number => mapTime(outS, map.referenceS, s);
  const plain: Timeline = {
    durationS: outS[outS.length - 1] + aroundS,
    referenceS,
    todayS: (s) => mapTime(outS, map.todayS, s),
    ofReference: (t) => mapTime(map.referenceS, outS, t),
    ofToday: (t) => mapTime(map.todayS, outS, t),
  };
  if (runBy === 'phase') return plain;
  const [a, b] = [pathOf(lineUp, 'reference'), pathOf(lineUp, 'today')];
  return { ...plain, todayS: (s) => byHeight(a, b, knots, referenceS(s)) };
}

const numbers = (values: readonly (number | null)[]): Float64Array =>
  Float64Array.from(values, (v) => v ?? NaN);

function pathOf(lineUp: LineUp, side: 'reference' | 'today'): RepPath {
  const { path, rep } = lineUp[side].reps[0];
  return {
    tS: Float64Array.from(path.tS),
    xM: numbers(path.xM),
    yM: numbers(path.yM),
    vyMps: numbers(path.vyMps),
    events: {
      startS: rep.start_s ?? 0,
      touchS: rep.touch_s,
      bottomS: rep.bottom_s,
      pauseStartS: rep.pause_start_s,
      pauseEndS: rep.pause_end_s,
      driveStartS: rep.drive_start_s ?? 0,
      lockoutS: rep.lockout_s,
      earlierAttempts: rep.earlier_attempts,
      rebound: rep.rebound,
      outcome: rep.outcome,
    },
  };
}

/** The stretch of the clock that the reference's phase at a moment takes; null outside the phases. */
export function phaseAt(
  lineUp: LineUp,
  timeline: Timeline,
  atS: number,
): [fromS: number, toS: number] | null {
  const t = timeline.referenceS(atS);
  const phase = lineUp.reference.reps[0].phases.find(({ fromS, toS }) => t >= fromS && t < toS);
  if (!phase) return null;
  const clamp = (s: number): number => Math.min(Math.max(s, 0), timeline.durationS);
  return [clamp(timeline.ofReference(phase.fromS)), clamp(timeline.ofReference(phase.toS))];
}

/**
 * A moment of the clock at which a rep's frame is the one shown: the middle of what it takes there. Where no moment shows
 * it (a clock by height may pass it over), the nearest after it.
 */
export function momentOfFrame(
  timeline: Timeline,
  side: SideName,
  tS: readonly number[],
  frame: number,
): number {
  const timeOf = side === 'reference' ? timeline.referenceS : timeline.todayS;
  const after = (s: number): number => firstWhere(timeline.durationS, (atS) => timeOf(atS) >= s);
  return (after(timeBetween(tS, frame - 1)) + after(timeBetween(tS, frame))) / 2;
}

/** When one frame gives way to the next. */
const timeBetween = (tS: readonly number[], frame: number): number =>
  frame < 0 ? -Infinity : frame + 1 < tS.length ? tS[frame + 1] : Infinity;

/** The first moment from 0 on for which something holds that goes on to hold; to a microsecond. */
function firstWhere(durationS: number, holds: (atS: number) => boolean): number {
  let [lo, hi] = [0, durationS];
  if (holds(lo)) return lo;
  while (hi - lo > 1e-6) {
    const mid = (lo + hi) / 2;
    if (holds(mid)) hi = mid;
    else lo = mid;
  }
  return hi;
}
