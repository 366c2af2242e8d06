import { shortestPauseS } from '../../shared-lib/rep/thresholds.ts';
import { buildTimeMap, mapTime, segmentAt, type TimeMap } from '../../shared-lib/pair/time-map.ts';
import { withBreaths, type Breath } from './film-breaths.ts';
import { frameAt } from '../../shared-lib/motion/frame-times.ts';
import { realTimes, sideNames, type FilmSide, type FilmSpec, type SideName } from './film-spec.ts';

/** Pictures per second of the film. */
export const filmFps = 30;

/** What is shown before the first event and after lockout, at most, seconds. */
const leadS = 1;
/** The same after the last event both reps have, where that is not lockout: a rep that was given up. */
const givenUpS = 10;

/**
 * How much too late a frame may be for its picture, seconds. Frames that fall on a picture's very moment
 * must not miss it by the rounding of a time stamp, which some containers keep in milliseconds.
 */
export const graceS = 0.001;

export interface Phase {
  name: 'set-up' | 'descent' | 'pause' | 'drive' | 'hold';
  /** On the film's clock. The first begins at 0, the last ends with the film. */
  fromS: number;
  toS: number;
}

export interface Timeline {
  map: TimeMap;
  /** In order. */
  breaths: Breath[];
  pictures: number;
  phases: Phase[];
  /** Last frame of each clip, real seconds since its first. */
  clipEndS: Record<SideName, number>;
  /** For each picture of the film the frame of the clip that is shown. */
  shown: Record<SideName, number[]>;
}

/** Lays the film out in time: which frame of each clip each of its pictures shows. */
export function layOutTime(spec: FilmSpec): Timeline {
  const { knots, clock = 'phase' } = spec;
  const before = sideNames.map((name) => (knots[0] ? knots[0][`${name}S`] : 0));
  const beforeS = Math.min(leadS, Math.max(...before));
  const events = buildTimeMap(knots, { clock, leadS: Math.max(0, beforeS) });
  const last = knots.at(-1)!;
  const clipEndS = {
    reference: realTimes(spec.reference).at(-1)!,
    today: realTimes(spec.today).at(-1)!,
  };
  const afterS = Math.max(
    ...sideNames.map((name) => {
      const side = spec[name];
      const wantedS =
        last.event === 'lockout' ? leadS : Math.min(givenUpS, side.window.toS - last[`${name}S`]);
      return Math.min(wantedS, clipEndS[name] - last[`${name}S`]);
    }),
  );
  const { map, lengthS, breaths } = withBreaths(
    events,
    spec.moments ?? [],
    spec.slowed ?? { reference: [], today: [] },
    events.outS.at(-1)! + Math.max(0, afterS),
    { reference: middleOfFrame(spec.reference), today: middleOfFrame(spec.today) },
  );
  const pictures = Math.floor(lengthS * filmFps) + 1;
  return {
    map,
    breaths,
    pictures,
    clipEndS,
    phases: phasesOf(spec, map, pictures / filmFps),
    shown: {
      reference: shownFrames(spec.reference, map.outS, map.referenceS, pictures),
      today: shownFrames(spec.today, map.outS, map.todayS, pictures),
    },
  };
}

/** The middle of the frame that is shown at a time, as far as the clip goes. */
function middleOfFrame(side: FilmSide): (tS: number) => number {
  const tS = realTimes(side);
  return (atS) => {
    const i = frameAt(tS, atS + graceS);
    const isInside = atS >= tS[0] && i + 1 < tS.length;
    return isInside ? (tS[i] + tS[i + 1]) / 2 : atS;
  };
}

function shownFrames(
  side: FilmSide,
  outS: readonly number[],
  sideS: readonly number[],
  pictures: number,
): number[] {
  const frameOutS = realTimes(side).map((tS) => mapTime(sideS, outS, tS) - graceS);
  return Array.from({ length: pictures }, (_, k) => frameAt(frameOutS, k / filmFps));
}

function phasesOf({ knots, lift }: FilmSpec, map: TimeMap, endS: number): Phase[] {
  const pauseFrom = knots.find(({ event }) => event === 'touch' || event === 'pause start');
  const pauseTo = knots.find(({ event }) => event === 'drive start');
  const paused =
    pauseFrom && pauseTo && sideNames.some((s) => pauseTo[`${s}S`] - pauseFrom[`${s}S`] >= shortestPauseS);
  const phases: Phase[] = [{ name: 'set-up', fromS: 0, toS: endS }];
  for (const knot of knots) {
    const name = phaseAfter(knot.event, lift === 'deadlift');
    const fromS = mapTime(map.referenceS, map.outS, knot.referenceS);
    const before = phases.at(-1)!;
    if (name === null || name === before.name || (name === 'pause' && !paused)) continue;
    before.toS = fromS;
    if (before.fromS === before.toS) phases.pop();
    phases.push({ name, fromS, toS: endS });
  }
  return phases;
}

/** The phase that an event begins; null where the phase before it goes on. */
function phaseAfter(event: string, deadlift: boolean): Phase['name'] | null {
  switch (event) {
    case 'start':
      return deadlift ? 'drive' : 'descent';
    case 'lift-off':
    case 'drive start':
      return 'drive';
    case 'touch':
    case 'pause start':
      return 'pause';
    case 'lockout':
      return 'hold';
    default:
      return null;
  }
}

/** A side's real time at a moment of the film; before 0 and after the clip's end where it shows no new frame. */
export function realTime({ map }: Timeline, side: SideName, filmS: number): number {
  return mapTime(map.outS, map[`${side}S`], filmS);
}

/** How long a side's phase has run at a moment of the film, real seconds, as far as its clip goes. */
export function elapsedS(timeline: Timeline, side: SideName, phase: Phase, filmS: number): number {
  const toS = realTime(timeline, side, Math.min(filmS, phase.toS));
  const fromS = realTime(timeline, side, phase.fromS);
  return Math.max(0, Math.min(toS, timeline.clipEndS[side]) - fromS);
}

/** How fast a side runs at a moment of the film: 1 as in life, 0 held. */
export function speedAt({ map }: Timeline, side: SideName, filmS: number): number {
  const i = segmentAt(map.outS, filmS);
  if (i < 0 || i >= map.outS.length - 1) return 1;
  const sideS = map[`${side}S`];
  return (sideS[i + 1] - sideS[i]) / (map.outS[i + 1] - map.outS[i]);
}
