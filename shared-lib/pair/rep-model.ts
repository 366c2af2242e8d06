import { mean, median } from 'd3-array';
import { Failure } from '../contract/errors.ts';
import type { Motion, PlaneTrace } from '../contract/motion.ts';
import { measureNames, type MeasureName, type MeasureValues } from '../contract/measures.ts';
import type { RepEvents, RepWindow } from '../contract/rep.ts';
import { seededRandom, type Random } from '../motion/random.ts';
import type { MotionRoom } from '../motion/draw-kernel.ts';
import { drawnLevel, slowErrorM } from '../motion/slow-error.ts';
import { smoothTrace, type SmoothedTrace } from '../motion/smoother.ts';
import { findEvents } from '../rep/events.ts';
import { hiddenMeasures, hiddenSpans, withoutHidden } from '../rep/hidden.ts';
import { withEventsByHand, type EventsByHand } from '../rep/set-events.ts';
import { measureRep } from '../rep/measures.ts';
import { applySources, repGeometry, roomFor, type RepGeometry } from './apply-sources.ts';
import type { MeasuredClip } from './measured-clip.ts';
import { betweenRests, differences, extremes, noiseTakenBack, withMoments } from './noise-taken-back.ts';
import { errorSources, type SourceDraw, type SourceTable } from './sources.ts';

/** One rep, ready to be drawn again and again. */
export interface RepModel {
  clip: MeasuredClip;
  /** Where events are looked for again in each draw. */
  window: RepWindow;
  events: RepEvents;
  /** Where a person put events; they are not looked for again. */
  byHand: EventsByHand;
  /** The stretch of the window, smoothed at cut-offs 25 % below those decided on, at them, and 30 % above. */
  smoothed: readonly [SmoothedTrace, SmoothedTrace, SmoothedTrace];
  /** What smoothing each of these once more does to the measures. */
  blunting: readonly [MeasureValues, MeasureValues, MeasureValues];
  /** What measuring the motion again adds to extremes on average and to durations between rests in the middle. */
  added: Partial<MeasureValues>;
  sources: SourceTable;
  geometry: RepGeometry;
  /** Work space of a draw: thousands of motions are measured and thrown away. */
  room: MotionRoom;
  /** Median over clips of one sigma of the slow error, metres. */
  slowErrorM: number;
  /** Measures of the posterior mean. */
  values: MeasureValues;
  /** Measures that have none since the disc was not seen just then. */
  hidden: ReadonlySet<MeasureName>;
}

/** Time base of the draws, seconds: at twenty times the cut-off what lies between samples is below 0.1 mm. */
const drawIntervalS = 1 / 120;

/** What is kept on both sides of a window, so that the smoother's ends lie outside it, seconds. */
const marginS = 0.5;

/** What the measures need before the start and after the lockout, seconds; a long set-up is not drawn again. */
const leadS = 1.5;
const tailS = 1.5;

function drawWindow(window: RepWindow, events: RepEvents, values: MeasureValues): RepWindow {
  // Settling is measured from when the bar comes to the start, which may be anywhere before.
  const fromS = values.settle_s === null ? Math.max(window.fromS, events.startS - leadS) : window.fromS;
  const toS = events.lockoutS === null ? window.toS : Math.min(window.toS, events.lockoutS + tailS);
  return { ...window, fromS, toS };
}

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
 * @throws Failure (usage) where the clip has no such rep
 */
export function modelRep(clip: MeasuredClip, repIndex: number): RepModel {
  const rep = clip.reps[repIndex];
  if (!rep) {
    throw new Failure(
      'usage',
      `The clip has ${clip.reps.length} rep${clip.reps.length === 1 ? '' : 's'}, so there is no rep ${repIndex + 1}.`,
      'Choose a rep that the clip has.',
    );
  }
  const whole = slice(clip.plane, rep.window);
  const { motion, restNoise } = smoothTrace(whole, clip.smoothing);
  const byHand = rep.byHand ?? {};
  const found = findEvents(motion, rep.window, clip.lift, restNoise);
  const events = (found && withEventsByHand(found, byHand)) ?? rep.events;
  const hidden = hiddenMeasures(hiddenSpans(whole), events, rep.window);
  const values = withoutHidden(measureRep(motion, events, clip.lift, restNoise), hidden);
  const window = drawWindow(rep.window, events, values);
  const part = slice(whole, window);
  const smooth = (factor: number) =>
    smoothTrace(part, clip.smoothing, { cutoffFactor: factor, dtS: drawIntervalS });
  const smoothed = [smooth(0.75), smooth(1), smooth(1.3)] as const;
  const measured = (of: Motion, { syM, svMps }: SmoothedTrace['restNoise']): MeasureValues | null => {
    const again = findEvents(of, window, clip.lift, { syM, svMps });
    const moved = again && withEventsByHand(again, byHand);
    return moved && measureRep(of, moved, clip.lift, { syM, svMps });
  };
  const bluntingOf = (one: SmoothedTrace): MeasureValues => ({
    ...differences(measured(one.motion, one.restNoise), measured(one.remeasure(0, noNoise), one.restNoise)),
    ...missedTimes(clip.smoothing.cutoffHz),
  });
  const slowM = slowErrorM(clip.smoothing.y.typicalM);
  return {
    clip,
    window,
    events,
    byHand,
    smoothed,
    blunting: [bluntingOf(smoothed[0]), bluntingOf(smoothed[1]), bluntingOf(smoothed[2])],
    added: addedOf(smoothed[1], slowM, (motion) => measured(motion, smoothed[1].restNoise)),
    sources: errorSources(clip),
    geometry: repGeometry(clip, motion, events),
    room: roomFor(smoothed[1].motion),
    slowErrorM: slowM,
    values,
    hidden,
  };
}

/** Motions that what is added is taken from. */
const again = 24;

/** What noise adds: measured again with it, less measured again without. */
function addedOf(
  smoothed: SmoothedTrace,
  slowM: number,
  measured: (motion: Motion) => MeasureValues | null,
): Partial<MeasureValues> {
  const random = seededRandom(1);
  const without = measured(smoothed.remeasure(0, noNoise));
  const noisy = Array.from({ length: again }, () =>
    measured(smoothed.remeasure(drawnLevel(slowM, random), random)),
  );
  const picked = noisy.map((one) => differences(without, one));
  // A drive that is measured again is blunted again: what that does lies in the middle as well.
  const once = measured(smoothed.motion);
  const moved = noisy.map((one) => differences(once, one));
  return Object.fromEntries([
    ...[...extremes].map((name) => [name, mean(picked, (one) => one[name]) ?? null]),
    ...betweenRests.map((name) => [name, median(moved, (one) => one[name]) ?? null]),
  ]) as Partial<MeasureValues>;
}

/**
 * What durations are off by that measuring again does not show, seconds. The maximum before a sticking point is found late,
 * since the bar gains speed more suddenly than it loses it: by 20 ms on 58 reps of rendered pairs, by nothing where it gains and
 * loses speed alike; it goes with the cut-off. Drives come out 3 ms too long on 2,000 simulated reps and on 50 of rendered
 * pairs, descents 2 ms too short on 1,346 and 34, settling 5 ms too long on 110 simulated ones.
 */
const missedTimes = (cutoffHz: number): Partial<MeasureValues> => ({
  sticking_s: -0.11 / cutoffHz,
  drive_s: 0.003,
  descent_s: -0.002,
  settle_s: 0.005,
});

/**
 * How surely pictures show that a bar leaves its rest or comes to it, one sigma, as a share of the time between them: set on
 * the even ones of 108 drives and 74 descents of rendered pairs, by what they were off by beside the trace's noise.
 */
const restShare = 0.15;

/** Nothing new in any sample. */
const noNoise: Random = {
  uniform: () => 0.5,
  normal: () => 0,
  normals: (count) => new Float64Array(count),
};

/** A smoothed rep as it would come out of another clip of the same: with fresh noise and another slow error. */
export const measuredAgain = (model: RepModel, smoothed: SmoothedTrace, random: Random): Motion =>
  smoothed.remeasure(drawnLevel(model.slowErrorM, random), random);

/**
 * One draw of a rep's measures. The sources are taken back from what was measured; then the result is measured again
 * with fresh noise, so that what the noise does to each measure is seen and can be taken back too: an extreme read off
 * a noisy trace lies too far out, and so does one read off the same trace with more noise.
 *
 * Null where the draw has no rep.
 */
export function drawRep(model: RepModel, draw: SourceDraw, random: Random): MeasureValues | null {
  const which = draw.smoothing < -1 / 3 ? 0 : draw.smoothing > 1 / 3 ? 2 : 1;
  const choice = model.smoothed[which];
  // A hand picks a picture: anywhere in its interval is as likely.
  const intervalS = model.clip.timing.medianIntervalS / model.clip.calibration.slowMotion;
  const byHand = Object.fromEntries(
    Object.entries(model.byHand).map(([name, tS]) => [name, tS + intervalS * (random.uniform() - 0.5)]),
  ) as EventsByHand;
  const measured = (motion: Motion): MeasureValues | null => {
    const moved = applySources(motion, draw, model.geometry, model.room);
    const found = findEvents(moved, model.window, model.clip.lift, choice.restNoise);
    const events = found && withEventsByHand(found, byHand);
    return events && measureRep(moved, events, model.clip.lift, choice.restNoise);
  };
  const before = measured(choice.motion);
  const after = measured(measuredAgain(model, choice, random));
  if (!before || !after) return null;
  const truth = noiseTakenBack(before, after, {
    blunting: model.blunting[which],
    share: draw.blunting,
    added: model.added,
  });
  const slowM = drawnLevel(model.slowErrorM, random);
  return withMoments(truth, { slowM, restS: restShare * intervalS }, random);
}

/** Draws by measure, NaN where a measure is undefined in a draw. */
export type DrawTable = Record<MeasureName, Float64Array>;

export function emptyDraws(n: number): DrawTable {
  const table = {} as DrawTable;
  for (const name of measureNames) table[name] = new Float64Array(n).fill(NaN);
  return table;
}
