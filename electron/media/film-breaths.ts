import { mapTime, type TimeMap } from '../../shared-lib/pair/time-map.ts';
import { sideNames, type FilmMoment, type SideName } from './film-spec.ts';

/** A stretch of the film in which both reps are held and words are read, seconds of the film. */
export interface Breath {
  fromS: number;
  toS: number;
  text: string;
}

/** Near a moment that matters both reps run this much slower. */
const slowerBy = 2;
/** So long before and after it on the film's clock: round words, and where there are none. */
const roundWords = { beforeS: 0.7, afterS: 0.35 };
const roundOthers = { beforeS: 0.3, afterS: 0.3 };
/** How long words are held: time to find them, then to read them; common practice for subtitles. */
const reading = { findS: 1.5, lettersPerS: 14, leastS: 2.5, mostS: 9 };

const holdS = (text: string): number =>
  Math.min(reading.mostS, Math.max(reading.leastS, reading.findS + text.length / reading.lettersPerS));

/**
 * Slows both reps where it matters and holds them for a breath at each moment.
 *
 * @param moments on each rep's own real time, in any order
 * @param slowed moments of each rep that have no words and are slowed alone
 * @param lengthS of the film before
 * @param between the middle of the frame that a rep shows at a time: held at a frame's very moment, the rounding of a time
 *   stamp would decide which frame is seen
 */
export function withBreaths(
  map: TimeMap,
  moments: readonly FilmMoment[],
  slowed: Record<SideName, readonly number[]>,
  lengthS: number,
  between: Record<SideName, (tS: number) => number>,
): { map: TimeMap; lengthS: number; breaths: Breath[] } {
  const onClock = (name: SideName, tS: number): number =>
    Math.min(Math.max(mapTime(map[`${name}S`], map.outS, tS), 0), lengthS);
  const others = sideNames.flatMap((name) => slowed[name].map((tS) => onClock(name, tS)));
  if (moments.length + others.length === 0) return { map, lengthS, breaths: [] };
  const at = moments
    .map(({ todayS, text }) => ({ text, outS: onClock('today', todayS) }))
    .sort((a, b) => a.outS - b.outS);
  const round = (outS: number, { beforeS, afterS }: typeof roundWords): [number, number] => [
    Math.max(0, outS - beforeS),
    Math.min(lengthS, outS + afterS),
  ];
  const slow = [
    ...at.map(({ outS }) => round(outS, roundWords)),
    ...others.map((outS) => round(outS, roundOthers)),
  ];
  const isSlow = (s: number): boolean => slow.some(([from, to]) => s > from && s < to);
  const points = [...new Set([0, lengthS, ...map.outS, ...slow.flat(), ...at.map(({ outS }) => outS)])]
    .filter((s) => s <= Math.max(lengthS, map.outS.at(-1)!))
    .sort((a, b) => a - b);

  // The film's clock before, and the same points on its new clock; a breath is two points of one time before.
  const before: number[] = [];
  const after: number[] = [];
  const breaths: Breath[] = [];
  let clockS = 0;
  points.forEach((s, i) => {
    const last = i === 0 ? s : points[i - 1];
    clockS += (s - last) * (isSlow((s + last) / 2) ? slowerBy : 1);
    before.push(s);
    after.push(clockS);
    for (const { text } of at.filter(({ outS }) => outS === s)) {
      const fromS = clockS;
      clockS += holdS(text);
      breaths.push({ fromS, toS: clockS, text });
      before.push(s);
      after.push(clockS);
    }
  });
  const timesOf = (name: SideName): number[] => {
    const times = before.map((s) => mapTime(map.outS, map[`${name}S`], s));
    return times.map((tS, i) => {
      const isHeld = before[i] === before[i - 1] || before[i] === before[i + 1];
      if (!isHeld) return tS;
      const earliest = times.findLast((_, k) => before[k] < before[i]) ?? -Infinity;
      const latest = times.find((_, k) => before[k] > before[i]) ?? Infinity;
      return Math.min(Math.max(between[name](tS), earliest), latest);
    });
  };
  return {
    map: { outS: after, referenceS: timesOf('reference'), todayS: timesOf('today') },
    lengthS: after[before.lastIndexOf(lengthS)],
    breaths,
  };
}
