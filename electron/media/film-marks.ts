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

/** Widths and radii, film pixels. */
const line = { widthPx: 7, casingPx: 12, dashPx: 16, gapPx: 12 };
const marker = { radiusPx: 13, ringPx: 5, casingPx: 2.5 };

export interface Mark {
  /** 0 lies lowest. */
  layer: number;
  text: string;
}

/** A rep's path: the line over its casing. `faint` for the other rep's. */
export function pathMarks(side: SideName, lines: readonly Point[][], clip: Clip, faint: boolean): Mark[] {
  const { colour, dashed } = looks[side];
  const pieces = dashed ? dashes(lines, line.dashPx, line.gapPx) : lines.filter(({ length }) => length > 1);
  if (pieces.length === 0) return [];
  const drawing = strokes(pieces);
  const opacity = faint ? 0.55 : 1;
  const thin = faint ? 0.6 : 1;
  const casingInk: Ink = { colour: casing, opacity: faint ? 0.45 : 0.9 };
  const layer = faint ? 0 : 2;
  return [
    { layer, text: strokeText(drawing, line.casingPx * thin, casingInk, clip) },
    { layer: layer + 1, text: strokeText(drawing, line.widthPx * thin, { colour, opacity }, clip) },
  ];
}

/** The bar now. */
export function barMarks(side: SideName, bar: Point, clip: Clip): Mark[] {
  const { colour, filled } = looks[side];
  const inner = filled ? 0 : marker.radiusPx - marker.ringPx;
  const under = circle(
    bar,
    marker.radiusPx + marker.casingPx,
    filled ? 0 : Math.max(0, inner - marker.casingPx),
  );
  return [
    { layer: 4, text: fillText(under, { colour: casing, opacity: 1 }, clip) },
    { layer: 5, text: fillText(circle(bar, marker.radiusPx, inner), { colour, opacity: 1 }, clip) },
  ];
}
