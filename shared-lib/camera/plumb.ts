import { Failure } from '../contract/errors.ts';
import type { Calibration } from '../contract/clip.ts';
import type { Trace } from '../contract/trace.ts';

/** Two points on something upright, x1, y1, x2, y2 in displayed pixels of the first frame, in either order. */
export type PlumbLine = readonly [x1Px: number, y1Px: number, x2Px: number, y2Px: number];

export interface Roll {
  /** Positive when the picture's up leans to the right. */
  rollRad: number;
  rollSigmaRad: number;
  plumb: Calibration['plumb'];
}

const rad = Math.PI / 180;

/**
 * Standard uncertainty of up, degrees, by where it comes from: a phone held level by eye; one upright found in
 * the picture, which may itself lean; an upright that the user trusts (common practice).
 */
const sigmaDeg: Record<Calibration['plumb'], number> = { none: 1, proposed: 0.4, user: 0.2 };

/** How surely a point is set with the pointer, px (common practice). */
const pointSigmaPx = 1;
const shortestPx = 40;
const mostLeanDeg = 30;

/** Image-vertical is up. */
export const assumedUp: Roll = { rollRad: 0, rollSigmaRad: sigmaDeg.none * rad, plumb: 'none' };

/**
 * Which way is up, from an upright in the picture.
 *
 * @throws Failure when the line is too short to tell, or nowhere near upright
 */
export function rollFromPlumb(line: PlumbLine, source: 'proposed' | 'user'): Roll {
  const [x1, y1, x2, y2] = line;
  const lengthPx = Math.hypot(x2 - x1, y2 - y1);
  if (!(lengthPx >= shortestPx))
    throw new Failure(
      'usage',
      `The plumb line is ${Math.round(lengthPx) || 0} px long, too short to tell which way is up.`,
      'Set its two points far apart on one upright, at best the whole height of a rack post.',
    );
  const upwards = y2 < y1 ? 1 : -1;
  const rollRad = Math.atan2(upwards * (x2 - x1), upwards * (y1 - y2));
  if (Math.abs(rollRad) > mostLeanDeg * rad)
    throw new Failure(
      'usage',
      `The plumb line leans ${Math.round(Math.abs(rollRad) / rad)} degrees, so it does not mark an upright.`,
      'Set its two points on something that stands upright, such as a rack post or a door frame.',
    );
  const pointing = (Math.SQRT2 * pointSigmaPx) / lengthPx;
  return { rollRad, rollSigmaRad: Math.hypot(sigmaDeg[source] * rad, pointing), plumb: source };
}

/** An upright edge leans no further from what was taken as up than this, degrees (common practice). */
const ownLeanDeg = 1.5;

/** The longest upright edge of the background that stands as the roll says, to start a plumb line from; null where none does. */
export function uprightFor(
  { uprights = [] }: Pick<Trace, 'uprights'>,
  rollRad: number,
): [x1Px: number, y1Px: number, x2Px: number, y2Px: number] | null {
  const fitting = uprights.filter(
    ({ leanRad, lengthPx }) => lengthPx >= shortestPx && Math.abs(leanRad - rollRad) < ownLeanDeg * rad,
  );
  if (fitting.length === 0) return null;
  const { xPx, yPx, lengthPx, leanRad } = fitting.reduce((a, b) => (b.lengthPx > a.lengthPx ? b : a));
  const [dx, dy] = [(Math.sin(leanRad) * lengthPx) / 2, (Math.cos(leanRad) * lengthPx) / 2];
  return [xPx + dx, yPx - dy, xPx - dx, yPx + dy];
}
