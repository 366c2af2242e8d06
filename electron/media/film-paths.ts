import type { AssEvent } from './ass.ts';
import type { Point } from './ass-drawing.ts';
import { inFirstFrame, inFrame, type Origin } from './film-origin.ts';
import { toFilm, type PaneLayout } from './film-layout.ts';
import { barMarks, pathMarks, type Mark } from './film-marks.ts';
import { realTimes, type FilmSide, type FilmSpec, type SideName } from './film-spec.ts';
import { filmFps, type Timeline } from './film-timeline.ts';

/** Points nearer than this to the one before add nothing that can be seen, film pixels. */
const stepPx = 1.5;

/**
 * Both panes' drawings as events: the rep's own path from its start to the frame that is shown, the bar in
 * that frame, and the other rep's whole path, faint.
 */
export function pathEvents(
  spec: FilmSpec,
  timeline: Timeline,
  layouts: Record<SideName, PaneLayout>,
  origins: Record<SideName, Origin>,
): AssEvent[] {
  return (['reference', 'today'] as const).flatMap((name) => {
    const other = name === 'reference' ? 'today' : 'reference';
    const side = spec[name];
    const layout = layouts[name];
    const { left, top, width, height } = layout.pane;
    const clip = { x: left, y: top, width, height };
    const startFrame = firstFrameFrom(side, spec.knots[0][`${name}S`]);
    const driveFrame = driveStart(spec, name);
    const otherLines = otherPath(
      spec,
      other,
      timeline.shown[other].at(-1)!,
      side,
      origins[name],
      origins[other],
    );
    return runs(timeline.shown[name]).flatMap(({ value: frame, from, to }) => {
      const project = (point: { xPx: number; yPx: number }): Point => {
        const { xPx, yPx } = inFrame(side, frame, point);
        return toFilm(layout, xPx, yPx);
      };
      const faint = otherLines.map((line) => thinned(line.map(project)));
      const own = (from: number, to: number): Point[][] =>
        ownPath(side, from, to).map((line) => thinned(line.map(project)));
      const { state, xPx, yPx } = side.samples[frame];
      const marks = [
        ...pathMarks(other, faint, clip, 'faint'),
        ...pathMarks(name, own(startFrame, Math.min(frame, driveFrame)), clip, 'descent'),
        ...pathMarks(name, own(driveFrame, frame), clip, 'drive'),
        ...(state === 'lost' ? [] : barMarks(name, toFilm(layout, xPx, yPx), clip)),
      ];
      return marks.map((mark) => eventOf(mark, from / filmFps, to / filmFps));
    });
  });
}

function eventOf({ layer, text }: Mark, fromS: number, toS: number): AssEvent {
  return { layer, fromS, toS, style: 'Drawing', text };
}

function firstFrameFrom(side: FilmSide, timeS: number): number {
  const index = realTimes(side).findIndex((tS) => tS >= timeS);
  return index < 0 ? side.samples.length - 1 : index;
}

/** The frame from which the way up is drawn; the start where no descent comes before it. */
function driveStart(spec: FilmSpec, name: SideName): number {
  const goesDown = spec.lift !== 'deadlift';
  const drive = spec.knots.find(({ event }) => event === 'drive start');
  return firstFrameFrom(spec[name], (goesDown && drive ? drive : spec.knots[0])[`${name}S`]);
}

/** Stretches of equal values: picture `from` (included) to `to` (excluded). */
export function runs<T>(values: readonly T[]): { value: T; from: number; to: number }[] {
  const list: { value: T; from: number; to: number }[] = [];
  values.forEach((value, i) => {
    const last = list.at(-1);
    if (last && last.value === value) last.to = i + 1;
    else list.push({ value, from: i, to: i + 1 });
  });
  return list;
}

interface Pixel {
  xPx: number;
  yPx: number;
}

/** A rep's path in the first frame's pixels, broken where the bar was lost. */
function ownPath(side: FilmSide, first: number, last: number): Pixel[][] {
  return unbroken(side, first, last, (i) => inFirstFrame(side, i));
}

/** The other rep's path in this clip: its metres in the bar plane, from this rep's start. */
export function otherPath(
  spec: FilmSpec,
  other: SideName,
  last: number,
  side: FilmSide,
  origin: Origin,
  otherOrigin: Origin,
): Pixel[][] {
  const { plane } = spec[other];
  const place = inPicture(side, origin);
  return unbroken(spec[other], firstFrameFrom(spec[other], spec.knots[0][`${other}S`]), last, (i) =>
    place(plane.xM[i] - otherOrigin.xM, plane.yM[i] - otherOrigin.yM),
  );
}

/** Lays metres of the bar plane from the rep's start into a clip: pixels of its first frame, in its scale, roll and foreshortening. */
export function inPicture(side: FilmSide, origin: Origin): (xM: number, yM: number) => Pixel {
  const { metresPerPx, rollRad, offSquareRad, facing } = side.calibration;
  const sideways = (facing === 'right' ? 1 : -1) * Math.cos(offSquareRad);
  return (xM, yM) => {
    const across = (sideways * xM) / metresPerPx;
    const up = yM / metresPerPx;
    return {
      xPx: origin.xPx + across * Math.cos(rollRad) + up * Math.sin(rollRad),
      yPx: origin.yPx + across * Math.sin(rollRad) - up * Math.cos(rollRad),
    };
  };
}

function unbroken(side: FilmSide, first: number, last: number, point: (i: number) => Pixel): Pixel[][] {
  const lines: Pixel[][] = [];
  let broken = true;
  for (let i = first; i <= last; i += 1) {
    const lost = side.samples[i].state === 'lost';
    if (!lost && broken) lines.push([]);
    if (!lost) lines.at(-1)!.push(point(i));
    broken = lost;
  }
  return lines;
}

/** Without points that stand on the one before; the last always stays. */
function thinned(line: readonly Point[]): Point[] {
  const kept: Point[] = [];
  for (const point of line) {
    const before = kept.at(-1);
    if (!before || Math.hypot(point.x - before.x, point.y - before.y) >= stepPx) kept.push(point);
  }
  const last = line.at(-1);
  if (last && kept.at(-1) !== last) kept.push(last);
  return kept;
}
