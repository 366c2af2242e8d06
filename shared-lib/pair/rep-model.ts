import { Failure } from '../contract/errors.ts';
import type { Motion, PlaneTrace } from '../contract/motion.ts';
import { measureNames, type MeasureName, type MeasureValues } from '../contract/measures.ts';
import type { RepEvents, RepWindow } from '../contract/rep.ts';
import type { Random } from '../motion/random.ts';
import { smoothTrace, type SmoothedTrace } from '../motion/smoother.ts';
import { findEvents } from '../rep/events.ts';
import { measureRep } from '../rep/measures.ts';
import { applySources, repGeometry, type RepGeometry } from './apply-sources.ts';
import type { MeasuredClip } from './measured-clip.ts';
import { errorSources, type SourceDraw, type SourceTable } from './sources.ts';

/** One rep, ready to be drawn again and again. */
export interface RepModel {
  clip: MeasuredClip;
  window: RepWindow;
  events: RepEvents;
  /** The smoothed stretch round the rep at the chosen cut-off, and at 20 % less and more. */
  smoothed: readonly [SmoothedTrace, SmoothedTrace, SmoothedTrace];
  sources: SourceTable;
  geometry: RepGeometry;
  /** Measures of the posterior mean. */
  values: MeasureValues;
}

/** Cut-offs drawn from, relative to the chosen one. */
const cutoffFactors = [0.8, 1, 1.2] as const;

/** What is kept on both sides of a rep's window, so that the smoother's ends lie outside it, seconds. */
const marginS = 0.5;

function slice(trace: PlaneTrace, window: RepWindow): PlaneTrace {
  const { tS } = trace;
  let from = 0;
  while (from < tS.length && tS[from] < window.fromS - marginS) from++;
  let to = tS.length;
  while (to > from && tS[to - 1] > window.toS + marginS) to--;
  return {
    tS: tS.slice(from, to),
    xM: trace.xM.slice(from, to),
    yM: trace.yM.slice(from, to),
    sxM: trace.sxM.slice(from, to),
    syM: trace.syM.slice(from, to),
    state: trace.state.slice(from, to),
  };
}

/**
 * Prepares one rep of a clip.
 *
 * @param repIndex from 0
 * @param cutoffHz equivalent cut-off of the smoothing
 * @throws Failure (usage) where the clip has no such rep
 */
export function modelRep(clip: MeasuredClip, repIndex: number, cutoffHz = clip.cutoffHz): RepModel {
  const rep = clip.reps[repIndex];
  if (!rep) {
    throw new Failure(
      'usage',
      `The clip has ${clip.reps.length} rep${clip.reps.length === 1 ? '' : 's'}, so there is no rep ${repIndex + 1}.`,
      'Choose a rep that the clip has.',
    );
  }
  const part = slice(clip.plane, rep.window);
  const smooth = (factor: number) => smoothTrace(part, { cutoffHz: cutoffHz * factor });
  const smoothed = cutoffFactors.map(smooth) as unknown as RepModel['smoothed'];
  const { motion, restNoise } = smoothed[1];
  const events = findEvents(motion, rep.window, clip.lift, restNoise) ?? rep.events;
  return {
    clip,
    window: rep.window,
    events,
    smoothed,
    sources: errorSources(clip),
    geometry: repGeometry(clip, motion, events),
    values: measureRep(motion, events, clip.lift, restNoise),
  };
}

/** One possible truth of a rep: its motion, its events and its measures; null where a draw has no rep. */
export function drawRep(
  model: RepModel,
  draw: SourceDraw,
  random: Random,
): { motion: Motion; events: RepEvents; values: MeasureValues } | null {
  const choice = model.smoothed[draw.smoothing < -1 / 3 ? 0 : draw.smoothing > 1 / 3 ? 2 : 1];
  const motion = applySources(choice.draw(random), draw, model.geometry);
  const events = findEvents(motion, model.window, model.clip.lift, choice.restNoise);
  if (!events) return null;
  return { motion, events, values: measureRep(motion, events, model.clip.lift, choice.restNoise) };
}

/** Draws by measure, NaN where a measure is undefined in a draw. */
export type DrawTable = Record<MeasureName, Float64Array>;

export function emptyDraws(n: number): DrawTable {
  const table = {} as DrawTable;
  for (const name of measureNames) table[name] = new Float64Array(n).fill(NaN);
  return table;
}
