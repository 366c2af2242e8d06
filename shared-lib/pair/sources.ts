import type { Random } from '../motion/random.ts';
import { usualReadOut } from '../norms/phones.ts';
import { pxPerMeasured } from '../trace/measured-size.ts';
import type { MeasuredClip } from './measured-clip.ts';

/**
 * One error source of a clip. `normal`: `width` is one sigma; `rectangular`: `width` is the half width. What two reps
 * share is drawn once for both: `part` is the share of the variance that is common (0 to 1; rectangular sources are
 * common or not, 1 or 0).
 */
export interface ErrorSource {
  distribution: 'normal' | 'rectangular';
  centre: number;
  width: number;
  shared: { by: 'disc' | 'camera'; part: number } | null;
  /** Where the width comes from. */
  basis: string;
  /** What the clip itself gave for the quantity that is off, where another clip of the same may have given another. */
  measured?: number;
}

export const sourceNames = [
  'discDiameter',
  'rimScale',
  'lensScale',
  'runOutM',
  'runOutPhaseRad',
  'runOutTurn',
  'rollRad',
  'offSquareRad',
  'tiltSide',
  'sidewaysDepthM',
  'sidewaysTravelM',
  'cameraDistanceM',
  'axisHeightM',
  'readOutS',
  'frameTimeS',
  'frameTimePhaseRad',
  'frameTimePeriodS',
  'smoothing',
  'blunting',
] as const;
export type SourceName = (typeof sourceNames)[number];
export type SourceTable = Record<SourceName, ErrorSource>;
/** One value per source, in the source's own unit. */
export type SourceDraw = Record<SourceName, number>;

const normal = (width: number, shared: ErrorSource['shared'], basis: string): ErrorSource => ({
  distribution: 'normal',
  centre: 0,
  width,
  shared,
  basis,
});
const rectangular = (lo: number, hi: number, shared: ErrorSource['shared'], basis: string): ErrorSource => ({
  distribution: 'rectangular',
  centre: (lo + hi) / 2,
  width: (hi - lo) / 2,
  shared,
  basis,
});

const byDisc = { by: 'disc', part: 1 } as const;
const byCamera = { by: 'camera', part: 1 } as const;

/**
 * How far from the true rim its edge is found beside what the fit states and what the lens does, pixels as measured, one sigma:
 * lips and bevels taken for the rim. Set on the films of rendered pairs with even numbers, whose sizes were off by 0.9 % (root
 * mean square). From one film to the next of an unmoved camera about half of it stays.
 */
const edgeSigmaPx = 0.3;

/**
 * The error sources of one clip. Noise of the trace and bridged gaps are not among them: whole traces are drawn from
 * the smoother's posterior. Nor is the slow-motion factor, which is exact when the tag or the user gives it.
 */
export function errorSources(
  clip: Pick<MeasuredClip, 'lift' | 'calibration' | 'timing' | 'picture'>,
): SourceTable {
  const { lift, calibration: c, timing } = clip;
  const intervalS = timing.medianIntervalS / c.slowMotion;
  const { discOffsetM: offsetM = 0 } = c;
  const edgePx = edgeSigmaPx * pxPerMeasured(clip.picture);
  const duplicatedShare = timing.duplicatedFrames / Math.max(1, timing.decodedFrames);
  return {
    discDiameter: {
      ...normal(
        Math.sqrt(c.discSigmaM ** 2 - offsetM ** 2) / c.discM,
        byDisc,
        "the disc's diameter, relative: what the user says it is",
      ),
      // An unmeasured gym disc is expected to be smaller than its label.
      centre: offsetM / c.discM,
    },
    rimScale: normal(
      Math.hypot(c.rimScaleSigma, (edgePx * c.metresPerPx) / (c.discM / 2)),
      // Half of it is the picture's noise, new in each clip; half is how this rim looks in this light: common practice.
      { by: 'camera', part: 0.5 },
      'the rim fit, relative',
    ),
    lensScale: rectangular(-0.01, 0.01, byCamera, 'lens: ± 1 % of a length, common practice'),
    runOutM: rectangular(
      -0.003,
      0.003,
      byDisc,
      'run-out: ± 3 mm, loose hole or bent sleeve, common practice',
    ),
    runOutPhaseRad: rectangular(-Math.PI, Math.PI, null, 'which way the disc hangs at the start is unknown'),
    runOutTurn: rectangular(
      -1,
      1,
      null,
      "how far the disc turns with the path is unknown: up to one radian in a radius's travel, as if it rolled",
    ),
    rollRad: normal(c.rollSigmaRad, byCamera, 'camera roll left after the plumb line'),
    offSquareRad: {
      ...normal(c.offSquareSigmaRad, byCamera, "angle off square from the rim's axis ratio"),
      measured: c.offSquareRad,
    },
    tiltSide: rectangular(-1, 1, byCamera, 'one ellipse leaves the side of the tilt open'),
    sidewaysDepthM: normal(
      lift === 'deadlift' ? 0 : 0.01,
      null,
      'sideways travel of the bar down to the bottom: 1 cm, common practice',
    ),
    sidewaysTravelM: normal(0.01, null, 'sideways travel from start to lockout: 1 cm, common practice'),
    cameraDistanceM: rectangular(2, 6, byCamera, 'camera distance: 2 to 6 m, common practice'),
    axisHeightM: normal(0.3, byCamera, "lens axis above or below the bar's start: 0.3 m, common practice"),
    readOutS: c.readOut
      ? // What is known of it is taken out of the frames' times.
        normal(c.readOut.sigmaS, null, 'row read-out, as measured from how moving rims are drawn out')
      : rectangular(
          usualReadOut(intervalS).leastS,
          usualReadOut(intervalS).mostS,
          byCamera,
          'row read-out: 5 to 30 ms and no longer than a frame, common practice',
        ),
    frameTimeS: normal(
      // Time stamps come in whole milliseconds at worst; a duplicated picture shows a moment one frame old.
      Math.hypot(0.0005 / Math.sqrt(3), intervalS * Math.sqrt(duplicatedShare)),
      null,
      'frame times: ± 0.5 ms, and duplicated frames by their share',
    ),
    frameTimePhaseRad: rectangular(-Math.PI, Math.PI, null, 'course of the frame times unknown'),
    frameTimePeriodS: rectangular(0.3, 3, null, 'course of the frame times unknown'),
    smoothing: rectangular(
      -1,
      1,
      null,
      'choice of smoothing, decided for each clip: cut-off from 25 % below to 30 % above',
    ),
    blunting: rectangular(
      -0.5,
      2,
      null,
      'what smoothing takes off corners beside what it takes off the smoothed motion again: nothing of smooth motion, as much of a step of the jerk, twice as much of a step of the acceleration, computed; and half of it less where noise is taken for corners',
    ),
  };
}

/** A standard draw: normal sources from N(0, 1), rectangular ones from -1 to 1. */
function standardDraw(table: SourceTable, random: Random): SourceDraw {
  const out = {} as SourceDraw;
  for (const name of sourceNames) {
    out[name] = table[name].distribution === 'normal' ? random.normal() : 2 * random.uniform() - 1;
  }
  return out;
}

function scaled(table: SourceTable, standard: SourceDraw): SourceDraw {
  const out = {} as SourceDraw;
  for (const name of sourceNames) out[name] = table[name].centre + table[name].width * standard[name];
  return out;
}

/** Draws every source of one clip once. */
export function drawSources(table: SourceTable, random: Random): SourceDraw {
  return scaled(table, standardDraw(table, random));
}

/** What a pair's two clips have in common. */
export interface Shared {
  /** The camera stood still from the reference rep to today's. */
  camera: boolean;
  /** The same disc is the ruler in both. */
  disc: boolean;
}

/**
 * Draws the sources of both reps of a pair. A shared source takes the same standard value in both, each scaled
 * by its own clip's width, so that it cancels in the difference as far as it does in life.
 */
export function drawPairSources(
  reference: SourceTable,
  today: SourceTable,
  shared: Shared,
  random: Random,
): [reference: SourceDraw, today: SourceDraw] {
  const first = standardDraw(reference, random);
  const second = standardDraw(today, random);
  for (const name of sourceNames) {
    const by = today[name].shared;
    if (by === null || !shared[by.by]) continue;
    second[name] = by.part * first[name] + Math.sqrt(1 - by.part ** 2) * second[name];
  }
  const pair: [SourceDraw, SourceDraw] = [scaled(reference, first), scaled(today, second)];
  if (shared.camera) setOneAngle(pair, [reference, today], first.offSquareRad);
  return pair;
}

/** A camera that stood still saw both bars from one angle: the clip that tells it more surely tells it for both. */
function setOneAngle(
  pair: [SourceDraw, SourceDraw],
  tables: [SourceTable, SourceTable],
  standard: number,
): void {
  const [a, b] = tables.map(({ offSquareRad: { measured = NaN, width } }) => ({ measured, width }));
  const surer = a.width <= b.width ? a : b;
  const angle = surer.measured + surer.width * standard;
  pair[0].offSquareRad = angle - a.measured;
  pair[1].offSquareRad = angle - b.measured;
}
