import { assColour } from './ass.ts';

/** A point of the film, pixels, y down. */
export interface Point {
  x: number;
  y: number;
}

/** Drawings count in eighths of a pixel: `\p4` divides coordinates by two to the third. */
const unit = 8;
const at = ({ x, y }: Point): string => `${Math.round(x * unit)} ${Math.round(y * unit)}`;

/**
 * Lines as a drawing without area: each runs to its end and back, and its border, half the line's width on
 * each side, is what is seen.
 */
export function strokes(lines: readonly (readonly Point[])[]): string {
  return lines
    .filter((line) => line.length > 0)
    .map((line) => {
      const back = line.length > 2 ? line.slice(1, -1).reverse() : [];
      const [first, ...rest] = [...line, ...back];
      return `m ${at(first)} l ${(rest.length > 0 ? rest : [first]).map(at).join(' ')}`;
    })
    .join(' ');
}

/** Length of a cubic curve's handles that makes a quarter circle of radius 1. */
const quarter = (4 / 3) * (Math.SQRT2 - 1);

/** A disc; with an inner radius a ring, whose inner outline runs the other way round. */
export function circle(centre: Point, radius: number, innerRadius = 0): string {
  return [outline(centre, radius, 1), ...(innerRadius > 0 ? [outline(centre, innerRadius, -1)] : [])].join(
    ' ',
  );
}

function outline({ x, y }: Point, r: number, turn: 1 | -1): string {
  const h = quarter * r;
  const point = (dx: number, dy: number): string => at({ x: x + dx, y: y + turn * dy });
  return [
    `m ${point(r, 0)}`,
    `b ${point(r, h)} ${point(h, r)} ${point(0, r)}`,
    `b ${point(-h, r)} ${point(-r, h)} ${point(-r, 0)}`,
    `b ${point(-r, -h)} ${point(-h, -r)} ${point(0, -r)}`,
    `b ${point(h, -r)} ${point(r, -h)} ${point(r, 0)}`,
  ].join(' ');
}

/** Cuts lines into dashes of even length along them, counted from each line's first point. */
export function dashes(lines: readonly (readonly Point[])[], dashPx: number, gapPx: number): Point[][] {
  return lines.flatMap((line) => dashLine(line, dashPx, gapPx));
}

function dashLine(line: readonly Point[], dashPx: number, gapPx: number): Point[][] {
  const pieces: Point[][] = [];
  let piece: Point[] | null = line.length > 0 ? [line[0]] : null;
  let leftPx = dashPx;
  for (let i = 1; i < line.length; i += 1) {
    let from = line[i - 1];
    const to = line[i];
    let length = Math.hypot(to.x - from.x, to.y - from.y);
    while (length >= leftPx) {
      const share = leftPx / length;
      from = { x: from.x + share * (to.x - from.x), y: from.y + share * (to.y - from.y) };
      length -= leftPx;
      if (piece) {
        pieces.push([...piece, from]);
        piece = null;
        leftPx = gapPx;
      } else {
        piece = [from];
        leftPx = dashPx;
      }
    }
    leftPx -= length;
    piece?.push(to);
  }
  if (piece && piece.length > 1) pieces.push(piece);
  return pieces;
}

export interface Ink {
  colour: string;
  /** 0 clear to 1 solid. */
  opacity: number;
}

function alpha(opacity: number): string {
  return `&H${Math.round(255 * (1 - opacity))
    .toString(16)
    .padStart(2, '0')
    .toUpperCase()}&`;
}

/** Only what lies inside is drawn, pixels. */
export interface Clip {
  x: number;
  y: number;
  width: number;
  height: number;
}

function tags(clip: Clip): string {
  const right = clip.x + clip.width;
  const bottom = clip.y + clip.height;
  return `\\an7\\pos(0,0)\\clip(${clip.x},${clip.y},${right},${bottom})\\shad0`;
}

/** Event text that draws strokes of a width. */
export function strokeText(drawing: string, widthPx: number, ink: Ink, clip: Clip): string {
  const border = `\\bord${widthPx / 2}\\3c${assColour(ink.colour)}\\3a${alpha(ink.opacity)}\\1a&HFF&`;
  return `{${tags(clip)}${border}\\p4}${drawing}`;
}

/** Event text that fills shapes. */
export function fillText(drawing: string, ink: Ink, clip: Clip): string {
  return `{${tags(clip)}\\bord0\\1c${assColour(ink.colour)}\\1a${alpha(ink.opacity)}\\p4}${drawing}`;
}
