import type { FilmSide, FilmSpec } from '../../../electron/media/film-spec.ts';
import { stillCamera } from '../../../shared-lib/contract/trace.ts';
import { codeSize } from './coded-clip.ts';

/** Real time of each event: the bar goes down from `start` to `bottom` and up again to `lockout`. */
export interface Course {
  start: number;
  bottom: number;
  lockout: number;
}

const metresPerPx = 0.01;
const top = { xPx: 125, yPx: 12 };
const depthPx = 24;

function depthAt({ start, bottom, lockout }: Course, tS: number): number {
  if (tS <= start || tS >= lockout) return 0;
  return tS < bottom ? (tS - start) / (bottom - start) : (lockout - tS) / (lockout - bottom);
}

/** A side over a coded clip: the bar moves above the painted number, to the right at the bottom. */
export function sideOf(
  path: string,
  ptsS: readonly number[],
  course: Course,
  over: Partial<FilmSide> = {},
): FilmSide {
  const slowMotion = over.calibration?.slowMotion ?? 1;
  const mirror = over.mirror ?? false;
  const depths = ptsS.map((t) => depthAt(course, (t - ptsS[0]) / slowMotion));
  const x = (depth: number): number => {
    const xPx = top.xPx + 5 * depth;
    return mirror ? codeSize.widthPx - 1 - xPx : xPx;
  };
  return {
    path,
    media: { ...codeSize, pixelAspect: 1, transfer: null },
    calibration: { metresPerPx, rollRad: 0, offSquareRad: 0, facing: mirror ? 'left' : 'right', slowMotion },
    samples: ptsS.map((t, frame) => ({
      frame,
      ptsS: t,
      xPx: x(depths[frame]),
      yPx: top.yPx + depthPx * depths[frame],
      varXPx2: 0.01,
      varYPx2: 0.01,
      covXYPx2: 0,
      rimRadiusPx: 20,
      confidence: 1,
      state: 'seen',
      camera: stillCamera,
    })),
    plane: {
      xM: Float64Array.from(depths, (depth) => 5 * depth * metresPerPx),
      yM: Float64Array.from(depths, (depth) => -depthPx * depth * metresPerPx),
    },
    window: { fromS: 0, toS: (ptsS.at(-1)! - ptsS[0]) / slowMotion },
    standingFromS: course.start - 0.3,
    mirror,
    title: 'Reference · 90 kg',
    ...over,
  };
}

export function specOf(
  reference: FilmSide,
  today: FilmSide,
  courses: { reference: Course; today: Course },
): FilmSpec {
  return {
    lift: 'squat',
    reference,
    today: { ...today, title: 'Today · 107.5 kg' },
    knots: (
      [
        ['start', 'start'],
        ['drive start', 'bottom'],
        ['lockout', 'lockout'],
      ] as const
    ).map(([event, name]) => ({
      event,
      referenceS: courses.reference[name],
      todayS: courses.today[name],
    })),
    caution: 'Path and speed change with load.',
  };
}
