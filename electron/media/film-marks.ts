import {
  circle,
  dashes,
  fillText,
  strokes,
  strokeText,
  type Clip,
  type Ink,
  type Point,
} from './ass-drawing.ts';
import type { SideName } from './film-spec.ts';

/** How each rep looks, wherever it is drawn: told apart by colour and, without it, by dash and marker. */
const looks = {
  reference: { colour: '#0072B2', dashed: false, filled: true },
  today: { colour: '#D55E00', dashed: true, filled: false },
} as const;
/** Under every line, since either colour vanishes on a disc of its own colour. */
const casing = '#FAFAF7';

/** Widths and radii, film pixels. The way down is thin, so that the drive's dashes stay apart over it. */
const widths = { drive: 7, descent: 4, faint: 4, casing: 5 };
const dash = { onPx: 16, offPx: 12 };
const marker = { radiusPx: 13, ringPx: 5, casingPx: 2.5 };

export type LineKind = Exclude<keyof typeof widths, 'casing'>;

export interface Mark {
  /** 0 lies lowest. */
  layer: number;
  text: string;
}

const layers: Record<LineKind, number> = { faint: 0, descent: 2, drive: 4 };

/** Part of a rep's path: the line over its casing. `faint` is the other rep's. */
export function pathMarks(side: SideName, lines: readonly Point[][], clip: Clip, kind: LineKind): Mark[] {
  const { colour, dashed } = looks[side];
  const pieces = dashed ? dashes(lines, dash.onPx, dash.offPx) : lines.filter(({ length }) => length > 1);
  if (pieces.length === 0) return [];
  const drawing = strokes(pieces);
  const under: Ink = { colour: casing, opacity: kind === 'faint' ? 0.45 : 0.9 };
  const over: Ink = { colour, opacity: kind === 'faint' ? 0.55 : 1 };
  const casingPx = widths[kind] + (kind === 'faint' ? widths.casing / 2 : widths.casing);
  return [
    { layer: layers[kind], text: strokeText(drawing, casingPx, under, clip) },
    { layer: layers[kind] + 1, text: strokeText(drawing, widths[kind], over, clip) },
  ];
}

/** The bar now: a disc for the reference, a ring with a light inside for today. */
export function barMarks(side: SideName, bar: Point, clip: Clip): Mark[] {
  const { colour, filled } = looks[side];
  const { radiusPx, ringPx, casingPx } = marker;
  const under = circle(bar, radiusPx + casingPx);
  const over = circle(bar, radiusPx, filled ? 0 : radiusPx - ringPx);
  return [
    { layer: 6, text: fillText(under, { colour: casing, opacity: 1 }, clip) },
    { layer: 7, text: fillText(over, { colour, opacity: 1 }, clip) },
  ];
}
