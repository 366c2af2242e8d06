import type { Calibration, MediaInfo } from '../../shared-lib/contract/clip.ts';
import type { Knot } from '../../shared-lib/contract/files.ts';
import type { FilmShape } from '../../shared-lib/contract/hand-back.ts';
import type { Lift } from '../../shared-lib/contract/lift.ts';
import type { PlaneTrace } from '../../shared-lib/contract/motion.ts';
import type { RepWindow } from '../../shared-lib/contract/rep.ts';
import type { TraceSample } from '../../shared-lib/contract/trace.ts';
import type { FilmClock } from '../../shared-lib/pair/time-map.ts';

/** One rep of the film. */
export interface FilmSide {
  /** The clip. */
  path: string;
  media: Pick<MediaInfo, 'widthPx' | 'heightPx' | 'pixelAspect' | 'transfer'>;
  calibration: Pick<Calibration, 'metresPerPx' | 'rollRad' | 'offSquareRad' | 'facing' | 'slowMotion'>;
  /** The bar in every frame of the clip. */
  samples: readonly TraceSample[];
  /** The same samples in the bar plane, for the other pane's faint path. */
  plane: Pick<PlaneTrace, 'xM' | 'yM'>;
  /** The rep in the clip, real seconds since its first frame. */
  window: RepWindow;
  /** From when on the bar stands still before the start, real seconds: where it stands is the rep's origin. */
  standingFromS: number;
  /** Left and right swapped, so that both lifters face the same way. */
  mirror: boolean;
  /** Stands over the pane, such as "Reference · 90 kg". */
  title: string;
}

export interface FilmMoment {
  referenceS: number;
  todayS: number;
  text: string;
}

export interface FilmSpec {
  lift: Lift;
  reference: FilmSide;
  today: FilmSide;
  /** Events that both reps have, in order; the first is the start. Real seconds. */
  knots: readonly Knot[];
  /** Default `phase`: nothing runs faster than life. */
  clock?: FilmClock;
  /** Moments that are slowed and held for a breath with their words written in; on each rep's own real time. */
  moments?: readonly FilmMoment[];
  /** Moments of each rep that are slowed and not held, where lifters look: on its own real time. */
  slowed?: Record<SideName, readonly number[]>;
  shape?: FilmShape;
  /** The last line of every picture. */
  caution: string;
}

export type SideName = 'reference' | 'today';
export const sideNames: readonly SideName[] = ['reference', 'today'];

/** Real seconds since the clip's first frame of each of its frames. */
export function realTimes(side: Pick<FilmSide, 'samples' | 'calibration'>): number[] {
  const firstS = side.samples[0].ptsS;
  return side.samples.map(({ ptsS }) => (ptsS - firstS) / side.calibration.slowMotion);
}
