import type { Truth, TruthRep } from '../../demo-data/truth/schema.ts';
import type { RepsOfClip } from '../../electron/desk/clip-reps.ts';
import type { MeasureName } from '../../shared-lib/contract/measures.ts';
import { hiddenMeasures, hiddenSpans, isHidden, withoutHidden } from '../../shared-lib/rep/hidden.ts';
import { measureRep } from '../../shared-lib/rep/measures.ts';
import type { PlaneTrace } from '../../shared-lib/contract/motion.ts';
import type { Rep } from '../../shared-lib/rep/find-reps.ts';

/** Errors of every rep that is in both: absolute, one entry a rep. */
export interface RepsScore {
  repsTrue: number;
  repsMissed: number;
  /** Reps found where there is none. */
  repsExtra: number;
  /** Real time between frames, milliseconds. */
  frameMs: number;
  meanDrivePct: number[];
  /** The same with the error of scale divided out. */
  meanDriveScaledPct: number[];
  peakDrivePct: number[];
  peakDriveScaledPct: number[];
  /** Of the range of motion, millimetres. */
  romMm: number[];
  startMs: number[];
  bottomMs: number[];
  driveStartMs: number[];
  lockoutMs: number[];
  slowestMps: number[];
  stickingMps: number[];
  /** Sticking points found where there is none, or missed. */
  stickingWrong: number;
}

/**
 * @param plane the trace, whose hidden stretches carry no measure
 * @param scale measured over true lengths
 */
export function scoreReps(
  { smoothed, reps }: Pick<RepsOfClip, 'smoothed' | 'reps'>,
  plane: PlaneTrace,
  truth: Truth,
  scale: number,
): RepsScore {
  const pairs = matched(reps, truth.reps);
  const spans = hiddenSpans(plane);
  const both = pairs.map(({ rep: { events, window }, real }) => ({
    real,
    events,
    hidden: hiddenMeasures(spans, events, window),
    got: withoutHidden(
      measureRep(smoothed.motion, events, truth.lift, smoothed.restNoise),
      hiddenMeasures(spans, events, window),
    ),
  }));
  const finite = (values: number[]): number[] => values.filter(Number.isFinite);
  const apart = (name: MeasureName): number[] =>
    finite(both.map(({ got, real }) => Math.abs((got[name] ?? NaN) - (real.measures[name] ?? NaN))));
  const percent = (name: MeasureName, by: number): number[] =>
    finite(
      both.map(({ got, real }) => 100 * Math.abs((got[name] ?? NaN) / by / (real.measures[name] ?? NaN) - 1)),
    );
  const ms = (of: (b: (typeof both)[number]) => readonly [number | null, number | null]): number[] =>
    finite(
      both.map((b) => {
        const [got, real] = of(b);
        // What was hidden is called a guess.
        return got === null || real === null || isHidden(spans, got) ? NaN : 1000 * Math.abs(got - real);
      }),
    );
  return {
    repsTrue: truth.reps.length,
    repsMissed: truth.reps.length - pairs.length,
    repsExtra: reps.length - pairs.length,
    frameMs: 1000 / (truth.film.fps * truth.film.slow_motion),
    meanDrivePct: percent('mean_drive_mps', 1),
    meanDriveScaledPct: percent('mean_drive_mps', scale),
    peakDrivePct: percent('peak_drive_mps', 1),
    peakDriveScaledPct: percent('peak_drive_mps', scale),
    startMs: ms(({ events, real }) => [events.startS, real.start_s]),
    bottomMs: ms(({ events, real }) => [events.bottomS, real.bottom_s]),
    driveStartMs: ms(({ events, real }) => [events.driveStartS, real.drive_start_s]),
    lockoutMs: ms(({ events, real }) => [events.lockoutS, real.lockout_s]),
    romMm: apart('rom_m').map((m) => 1000 * m),
    slowestMps: apart('slowest_mps'),
    stickingMps: apart('sticking_mps'),
    stickingWrong: both.filter(
      // A measure that truth leaves open is absent there.
      ({ got, real, hidden }) =>
        !hidden.has('sticking_mps') &&
        real.measures.sticking_mps !== undefined &&
        (got.sticking_mps === null) !== (real.measures.sticking_mps === null),
    ).length,
  };
}

/** Each true rep with the found rep that shares most time with it. */
export function matched(reps: readonly Rep[], real: readonly TruthRep[]): { rep: Rep; real: TruthRep }[] {
  const left = new Set(reps);
  return real.flatMap((one) => {
    const end = one.lockout_s ?? Infinity;
    let best: Rep | null = null;
    let most = 0;
    for (const rep of left) {
      const to = Math.min(rep.events.lockoutS ?? rep.window.toS, end);
      const shared = to - Math.max(rep.events.startS, one.start_s);
      if (shared > most) [best, most] = [rep, shared];
    }
    if (!best) return [];
    left.delete(best);
    return [{ rep: best, real: one }];
  });
}
