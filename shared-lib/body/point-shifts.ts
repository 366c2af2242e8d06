import { median } from 'd3-array';
import type { Joint } from '../contract/body.ts';
import type { Lift } from '../contract/lift.ts';
import type { Measure, RepEvents } from '../contract/rep.ts';
import type { PointShift } from '../contract/second-point.ts';
import { directionWords } from '../pair/sentences.ts';

/** A second point on real time, metres forward and up from anywhere, NaN where it was not seen. */
export interface PointCourse {
  tS: readonly number[];
  xM: readonly number[];
  yM: readonly number[];
  /** One sigma of a single sample, metres, of the following itself. */
  sigmaM: number;
  /** One sigma of the scale at the point's depth, relative. */
  scaleSigma: number;
}

/** Places are medians over this long, seconds; at the bottom, where heels are up for a moment only, over less. */
const placeS = 0.2;
const lowPlaceS = 0.1;
/** What happens this long after lockout belongs to the hold, and this long after the bar left to its leaving, seconds. */
const holdS = 2;
export const leavesS = 0.3;
const beforeStartS = 0.4;
/** Smaller shifts are told with their size, and as none worth acting on: common practice. */
const worthM = 0.01;

/**
 * How far a point shifted where coaches look for it: as the bar leaves the floor or the top, at the bottom against the
 * start, and after lockout, there and back included. Moments at which it was not seen are left out.
 *
 * @param endS the end of the hold after lockout
 */
export function pointShifts(
  course: PointCourse,
  events: RepEvents,
  lift: Lift,
  joint: Joint,
  endS: number,
): PointShift[] {
  const { startS, bottomS, touchS, lockoutS } = events;
  const before = placeIn(course, startS - beforeStartS, startS);
  const shifts: PointShift[] = [];
  const tell = (when: PointShift['when'], from: Place | null, to: Place | null): void => {
    if (!from || !to) return;
    const forward = shiftOf(course, from.xM, to.xM, from.n, to.n);
    const up = shiftOf(course, from.yM, to.yM, from.n, to.n);
    shifts.push({ when, forward, up, sentence: sentenceOf(when, forward, up, lift, joint) });
  };
  tell(
    'as the bar leaves',
    before,
    placeIn(course, startS + leavesS - placeS / 2, startS + leavesS + placeS / 2),
  );
  const lowS = touchS ?? bottomS;
  if (lowS !== null)
    tell('at the bottom', before, placeIn(course, lowS - lowPlaceS / 2, lowS + lowPlaceS / 2));
  if (lockoutS !== null) {
    const locked = placeIn(course, lockoutS, lockoutS + placeS);
    tell(
      'after lockout',
      locked,
      locked && furthest(course, locked, lockoutS, Math.min(endS, lockoutS + holdS)),
    );
  }
  return shifts;
}

/** The bar is held until it is this far below where it was locked out, metres. */
const letDownM = 0.02;

/** When the hold after a lockout ends: the bar goes down, or the clip is over. */
export function holdEndS(tS: readonly number[], barYM: readonly number[], lockoutS: number): number {
  const from = tS.findIndex((t) => t >= lockoutS);
  const down = barYM.findIndex((y, i) => i > from && y < barYM[from] - letDownM);
  return down < 0 ? tS[tS.length - 1] : tS[down];
}

interface Place {
  xM: number;
  yM: number;
  n: number;
}

/** Where a point is between two times; null where fewer than half of the pictures show it. */
function placeIn({ tS, xM, yM }: PointCourse, fromS: number, toS: number): Place | null {
  const all = Array.from(tS.keys()).filter((i) => tS[i] >= fromS && tS[i] <= toS);
  const seen = all.filter((i) => Number.isFinite(xM[i]));
  if (seen.length < 2 || seen.length < all.length / 2) return null;
  return { xM: median(seen, (i) => xM[i])!, yM: median(seen, (i) => yM[i])!, n: seen.length };
}

/** The place farthest from another, each a median, between two times. */
function furthest(course: PointCourse, from: Place, fromS: number, toS: number): Place | null {
  let far: Place | null = null;
  const away = (p: Place): number => Math.hypot(p.xM - from.xM, p.yM - from.yM);
  for (let tS = fromS + placeS; tS + placeS <= toS; tS += placeS / 4) {
    const place = placeIn(course, tS, tS + placeS);
    if (place && (!far || away(place) > away(far))) far = place;
  }
  return far;
}

/** Neighbouring pictures share their error: a median of n has that of the square root of n / 3 (measured on rendered clips). */
const shared = 3;
/** A patch shows a limb's inside, which turns and moves less than its end: shifts read up to a fifth short (measured on rendered clips). */
const heldBackSigma = 0.1;

function shiftOf(
  { sigmaM, scaleSigma }: PointCourse,
  from: number,
  to: number,
  nFrom: number,
  nTo: number,
): Measure {
  const value = to - from;
  const sigma = Math.hypot(
    sigmaM * Math.sqrt(shared * (1 / nFrom + 1 / nTo)),
    Math.hypot(scaleSigma, heldBackSigma) * Math.abs(value),
  );
  const u95 = 1.96 * sigma;
  return { value, lo95: value - u95, hi95: value + u95, u95, unit: 'm' };
}

const cm = (m: number): string => `${(100 * Math.abs(m)).toFixed(1)} cm`;

function sentenceOf(
  when: PointShift['when'],
  forward: Measure,
  up: Measure,
  lift: Lift,
  joint: Joint,
): string {
  const isSure = ({ lo95, hi95, value }: Measure): boolean =>
    (lo95 > 0 || hi95 < 0) && Math.abs(value) >= worthM;
  const words = directionWords(lift);
  const told = [
    ...(isSure(forward)
      ? [`${cm(forward.value)} ± ${cm(forward.u95)} ${forward.value > 0 ? words.forward : words.backward}`]
      : []),
    ...(isSure(up) ? [`${cm(up.value)} ± ${cm(up.u95)} ${up.value > 0 ? 'up' : 'down'}`] : []),
  ];
  const moment =
    when === 'as the bar leaves'
      ? lift === 'deadlift'
        ? 'as the bar leaves the floor'
        : 'as the bar leaves the top'
      : when;
  if (told.length > 0) return `The ${joint} moves ${told.join(' and ')} ${moment}.`;
  return `The ${joint} moves less than ${cm(Math.max(worthM, Math.abs(forward.value) + forward.u95, Math.abs(up.value) + up.u95))} ${moment}.`;
}
