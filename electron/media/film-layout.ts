import { filmFrames, type Box } from './film-frame.ts';
import type { Lift } from '../../shared-lib/contract/lift.ts';
import { sideNames, type FilmSide, type FilmSpec, type SideName } from './film-spec.ts';
import type { Origin } from './film-origin.ts';

/** Stretch of the bar plane, metres from the bar's start: forward and up are positive. */
interface View {
  back: number;
  forward: number;
  down: number;
  up: number;
}

/** What shows the lifter from floor to head: common practice, for tall lifters. */
const views: Record<Lift, View> = {
  squat: { back: -0.9, forward: 0.9, down: -1.65, up: 0.45 },
  bench: { back: -0.7, forward: 1.4, down: -1.15, up: 0.4 },
  deadlift: { back: -0.9, forward: 0.9, down: -0.35, up: 1.75 },
};

/** Room round the bar's path: a disc's radius and a hand's breadth, metres. */
const marginM = 0.32;

/** How a pane shows its clip: crop in the clip's pixels, scale, crop again, pad. Positions in the film's pixels. */
export interface PaneLayout {
  /** Rectangle of the displayed clip that is scaled. */
  source: { x: number; y: number; width: number; height: number };
  scaled: { width: number; height: number };
  /** Rectangle of the scaled (and mirrored) picture that is seen. */
  crop: { x: number; y: number; width: number; height: number };
  /** Where that lands in the pane. */
  pad: { x: number; y: number };
  /** Where the pane lies in the film. */
  pane: Box;
  mirror: boolean;
  /** Film pixels per metre of the bar plane. */
  pxPerM: number;
}

/** Where a point of the displayed clip (centre of the top-left pixel at 0, 0) lands in the film (its edge at 0, 0). */
export function toFilm(layout: PaneLayout, xPx: number, yPx: number): { x: number; y: number } {
  const { source, scaled, crop, pad, mirror, pane } = layout;
  const u = ((xPx + 0.5 - source.x) * scaled.width) / source.width;
  const v = ((yPx + 0.5 - source.y) * scaled.height) / source.height;
  return {
    x: pane.left + pad.x - crop.x + (mirror ? scaled.width - u : u),
    y: pane.top + pad.y - crop.y + v,
  };
}

interface Extent {
  left: number;
  right: number;
  bottom: number;
  top: number;
}

/** Metres from the bar's start, x to the right as the pane shows it, y up. */
function extentOf(side: FilmSide, origin: Origin, points: readonly { xPx: number; yPx: number }[]): Extent {
  const sign = side.mirror ? -1 : 1;
  const { metresPerPx } = side.calibration;
  const x = points.map(({ xPx }) => sign * (xPx - origin.xPx) * metresPerPx);
  const y = points.map(({ yPx }) => (origin.yPx - yPx) * metresPerPx);
  return { left: Math.min(...x), right: Math.max(...x), bottom: Math.min(...y), top: Math.max(...y) };
}

function pictureExtent(side: FilmSide, origin: Origin): Extent {
  const { widthPx, heightPx } = side.media;
  return extentOf(side, origin, [
    { xPx: -0.5, yPx: -0.5 },
    { xPx: widthPx - 0.5, yPx: heightPx - 0.5 },
  ]);
}

function barExtent(side: FilmSide, origin: Origin, first: number, last: number): Extent {
  const seen = side.samples.slice(first, last + 1).filter(({ state }) => state !== 'lost');
  const bar = extentOf(side, origin, [origin, ...seen]);
  return {
    left: bar.left - marginM,
    right: bar.right + marginM,
    bottom: bar.bottom - marginM,
    top: bar.top + marginM,
  };
}

function union(extents: readonly Extent[]): Extent {
  return {
    left: Math.min(...extents.map((e) => e.left)),
    right: Math.max(...extents.map((e) => e.right)),
    bottom: Math.min(...extents.map((e) => e.bottom)),
    top: Math.max(...extents.map((e) => e.top)),
  };
}

function intersection(a: Extent, b: Extent): Extent {
  return {
    left: Math.max(a.left, b.left),
    right: Math.min(a.right, b.right),
    bottom: Math.max(a.bottom, b.bottom),
    top: Math.min(a.top, b.top),
  };
}

/** Start of a window of given length centred in [wantedFrom, wantedTo] but, where that is possible, inside [from, to]. */
function placeWindow(length: number, wanted: [number, number], within: [number, number]): number {
  const start = (wanted[0] + wanted[1] - length) / 2;
  const [from, to] = within;
  if (to - from <= length) return (from + to - length) / 2;
  return Math.min(Math.max(start, from), to - length);
}

const even = (value: number): number => 2 * Math.round(value / 2);

/**
 * Chooses what both panes show: the lifter from floor to head as far as the clips have it, never less than
 * the bar's whole path; one scale for both, and the bar's start at one height.
 *
 * @param shown for each side the first and last frame of the film
 */
export function layOutPanes(
  spec: FilmSpec,
  origins: Record<SideName, Origin>,
  shown: Record<SideName, readonly number[]>,
): Record<SideName, PaneLayout> {
  const pictures = sideNames.map((name) => pictureExtent(spec[name], origins[name]));
  const bars = sideNames.map((name) =>
    barExtent(spec[name], origins[name], shown[name][0], shown[name].at(-1)!),
  );
  const view = views[spec.lift];
  const lifters = sideNames.map((name): Extent => {
    const { calibration, mirror } = spec[name];
    const facesRight = (calibration.facing === 'right') !== mirror;
    const [left, right] = facesRight ? [view.back, view.forward] : [-view.forward, -view.back];
    return { left, right, bottom: view.down, top: view.up };
  });
  const wanted = intersection(union([...lifters, ...bars]), union(pictures));
  const { sides } = filmFrames[spec.shape ?? 'landscape'];
  const { width, height } = sides.today.pane;
  const pxPerM = Math.min(height / (wanted.top - wanted.bottom), width / (wanted.right - wanted.left));
  const windowM = { width: width / pxPerM, height: height / pxPerM };
  const bottom = placeWindow(
    windowM.height,
    [wanted.bottom, wanted.top],
    [union(pictures).bottom, union(pictures).top],
  );
  const layouts = sideNames.map((name, i) => {
    const picture = pictures[i];
    const left = placeWindow(windowM.width, [wanted.left, wanted.right], [picture.left, picture.right]);
    const corner = { left, top: bottom + windowM.height };
    return layOutPane(spec[name], origins[name], sides[name].pane, pxPerM, corner);
  });
  return { reference: layouts[0], today: layouts[1] };
}

/** The pane's window has its upper left corner at `corner`, metres from the bar's start. */
function layOutPane(
  side: FilmSide,
  origin: Origin,
  pane: Box,
  pxPerM: number,
  corner: { left: number; top: number },
): PaneLayout {
  const { metresPerPx } = side.calibration;
  const { widthPx, heightPx } = side.media;
  const scale = pxPerM * metresPerPx;
  const spanPx = { width: pane.width / scale, height: pane.height / scale };
  const cornerPx = {
    x: side.mirror
      ? origin.xPx - corner.left / metresPerPx - spanPx.width
      : origin.xPx + corner.left / metresPerPx,
    y: origin.yPx - corner.top / metresPerPx,
  };
  const across = clipSpan(cornerPx.x, spanPx.width, widthPx);
  const down = clipSpan(cornerPx.y, spanPx.height, heightPx);
  const source = { x: across.from, y: down.from, width: across.length, height: down.length };
  const scaled = {
    width: Math.max(2, even(source.width * scale)),
    height: Math.max(2, even(source.height * scale)),
  };
  // The window's corner in the scaled picture; negative where the clip does not reach it.
  const v = even(((cornerPx.y + 0.5 - source.y) * scaled.height) / source.height);
  const fromLeft = ((cornerPx.x + 0.5 - source.x) * scaled.width) / source.width;
  const u = even(side.mirror ? scaled.width - fromLeft - pane.width : fromLeft);
  const x = seenPart(u, pane.width, scaled.width);
  const y = seenPart(v, pane.height, scaled.height);
  return {
    source,
    scaled,
    crop: { x: x.from, y: y.from, width: x.length, height: y.length },
    pad: { x: x.pad, y: y.pad },
    pane,
    mirror: side.mirror,
    pxPerM,
  };
}

/** Even stretch of a clip's row or column that covers a span of it and a little more. */
function clipSpan(from: number, length: number, sizePx: number): { from: number; length: number } {
  const start = Math.min(Math.max(0, 2 * Math.floor((from - 2) / 2)), Math.max(0, sizePx - 2));
  const end = Math.max(start + 2, Math.min(sizePx, 2 * Math.ceil((from + length + 3) / 2)));
  return { from: start, length: end - start - ((end - start) % 2) };
}

function seenPart(
  offset: number,
  length: number,
  available: number,
): { from: number; length: number; pad: number } {
  const from = Math.min(Math.max(0, offset), available - 2);
  const pad = Math.min(Math.max(0, -offset), length - 2);
  return { from, pad, length: Math.min(available - from, length - pad) };
}
