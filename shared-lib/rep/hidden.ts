import type { MeasureName, MeasureValues } from '../contract/measures.ts';
import type { PlaneTrace } from '../contract/motion.ts';
import type { RepEvents, RepWindow } from '../contract/rep.ts';

/** A stretch in which the bar was not measured: between its last and its next measured sample, real seconds. */
export interface HiddenSpan {
  fromS: number;
  toS: number;
}

/**
 * Over a stretch without a measurement up to this long the smoother's way across, with its uncertainty, holds the truth as
 * often as elsewhere; over a longer one a sticking point or a turn may lie that it knows nothing of. Of 240 simulated
 * reps hidden for 0.2 s the slowest velocity's intervals held 92 %, hidden for 0.4 s 85 %, and of pairs without a
 * difference 8 % were called different.
 */
const longestWayAcrossS = 0.25;
/** An event this near to a hidden stretch may as well lie in it, seconds: set by judgement. */
const nearS = 0.05;

/** The stretches of a trace that hide what the bar did. */
export function hiddenSpans({ tS, state }: PlaneTrace): HiddenSpan[] {
  const spans: HiddenSpan[] = [];
  let last = -1;
  for (let i = 0; i < tS.length; i++) {
    if (state[i] !== 0) continue;
    if (last >= 0 && i > last + 1 && tS[i] - tS[last] > longestWayAcrossS)
      spans.push({ fromS: tS[last], toS: tS[i] });
    last = i;
  }
  return spans;
}

const overlap = (spans: readonly HiddenSpan[], fromS: number, toS: number): boolean =>
  spans.some((span) => span.fromS < toS + nearS && span.toS > fromS - nearS);

/** Whether nobody saw what was at this moment. */
export const isHidden = (spans: readonly HiddenSpan[], tS: number): boolean => overlap(spans, tS, tS);

/** Whether the bar's way at this moment is a guess: inside a hidden stretch, its ends not counting. */
export const isGuess = (spans: readonly HiddenSpan[], tS: number): boolean =>
  spans.some(({ fromS, toS }) => tS > fromS && tS < toS);

/** The measures of a rep that hang on what was hidden. */
export function hiddenMeasures(
  spans: readonly HiddenSpan[],
  events: RepEvents,
  window: RepWindow,
): ReadonlySet<MeasureName> {
  const during = (fromS: number, toS: number): boolean => overlap(spans, fromS, toS);
  const at = (tS: number): boolean => isHidden(spans, tS);
  const { startS, driveStartS } = events;
  const bottomS = events.bottomS ?? driveStartS;
  const touchS = events.touchS ?? bottomS;
  const endS = events.lockoutS ?? window.toS;
  const start = at(startS);
  const turn = during(touchS, driveStartS);
  const drive = during(driveStartS, endS);
  const descent = during(startS, touchS);
  const ends = at(driveStartS) || at(endS);
  const of: Record<MeasureName, boolean> = {
    // A deadlift's range ends at its highest point.
    rom_m: start || turn || (events.bottomS === null && at(endS)),
    depth_m: start || turn,
    descent_s: start || at(touchS),
    pause_s: turn,
    drive_s: ends,
    mean_drive_mps: ends,
    peak_drive_mps: drive,
    slowest_mps: drive,
    slowest_height_pct: drive,
    sticking_mps: drive,
    sticking_drop_mps: drive,
    sticking_height_pct: drive,
    sticking_s: drive,
    mean_descent_mps: start || at(touchS),
    peak_descent_mps: descent,
    peak_descent_height_m: descent,
    speed_5cm_mps: descent,
    hesitations: descent,
    sink_m: turn,
    heave_m: turn,
    drift_bottom_m: start || at(bottomS),
    drift_lockout_m: start || at(endS),
    drift_max_m: during(startS, endS),
    drift_min_m: during(startS, endS),
    bow_m: drive,
    first_angle_rad: drive,
    fall_m: drive,
    stops: drive,
    longest_stop_s: drive,
    settle_s: during(window.fromS, startS),
    setup_sway_m: during(window.fromS, startS),
    sag_m: during(endS, window.toS),
    hold_sway_m: during(endS, window.toS),
  };
  return new Set((Object.keys(of) as MeasureName[]).filter((name) => of[name]));
}

/** Measures without those that hang on what was hidden. */
export const withoutHidden = (values: MeasureValues, hidden: ReadonlySet<MeasureName>): MeasureValues =>
  Object.fromEntries(
    Object.entries(values).map(([name, value]) => [name, hidden.has(name as MeasureName) ? null : value]),
  ) as MeasureValues;
