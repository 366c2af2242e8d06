import type { TraceSample } from '../contract/trace.ts';
import { pictureAt, pictureClock, takenS, type Novelty } from './picture-clock.ts';

/** A disc that moves this much from frame to frame is moving; one that moves less than this is not, pixels. */
const movingPx = 1;
const standingPx = 0.15;
/** Films brought to a higher rate repeat a picture up to this many times. */
const mostRepeats = 3;

/** Which frames repeat the picture before them, and when each frame's picture was taken. */
export interface PictureTimes {
  repeated: number[];
  /** Seconds of file time; null where no clock is known: then each picture but a repeated one was taken at its stamp. */
  takenS: number[] | null;
}

/**
 * Where repeats show that the film was brought to another rate, the clock that its pictures were taken by says which
 * other frames repeat, where the bar moves too little to show it, and that the pictures between were taken before
 * their stamps, by a share of the interval that changes from frame to frame.
 */
export function pictureTimes(samples: readonly TraceSample[]): PictureTimes {
  const found = repeatedFrames(samples);
  const ptsS = samples.map((s) => s.ptsS);
  const clock = pictureClock(ptsS, noveltyOf(samples, found));
  if (!clock) return { repeated: found, takenS: null };
  const pictures = ptsS.map((t) => pictureAt(clock, t));
  return {
    repeated: [...pictures.keys()].filter((i) => i > 0 && pictures[i] === pictures[i - 1]),
    takenS: ptsS.map((t) => takenS(clock, t)),
  };
}

function noveltyOf(samples: readonly TraceSample[], repeated: readonly number[]): Novelty[] {
  const moved = stepsOf(samples).map((step) => step !== null && Math.hypot(step.x, step.y) > movingPx);
  const novelty = moved.map((m): Novelty => (m ? 'new' : null));
  for (const i of repeated) novelty[i] = 'repeat';
  return novelty;
}

function stepsOf(samples: readonly TraceSample[]): (Step | null)[] {
  return samples.map((s, i) => {
    const before = samples[i - 1] as TraceSample | undefined;
    const both = before?.state === 'seen' && s.state === 'seen';
    return both ? { x: s.xPx - before.xPx, y: s.yPx - before.yPx } : null;
  });
}

/**
 * Frames that repeat the picture before them, as indices, found where the bar moves: it stands for a few frames
 * while it moves the same way before and after, which no bar does. (In a still scene a repeated picture shows
 * nothing and harms nothing.)
 */
export function repeatedFrames(samples: readonly TraceSample[]): number[] {
  const steps = stepsOf(samples);
  const stands = (i: number): boolean => {
    const step = steps[i];
    return step !== null && Math.hypot(step.x, step.y) < standingPx;
  };
  const repeated: number[] = [];
  for (let from = 1; from < samples.length; from++) {
    if (!stands(from)) continue;
    let to = from;
    while (to < samples.length && stands(to)) to++;
    const before = steps[from - 1];
    const after = steps[to] ?? null;
    if (to - from <= mostRepeats && before && after && goOn(before, after)) {
      for (let i = from; i < to; i++) repeated.push(i);
    }
    from = to;
  }
  return repeated;
}

/** Whether two steps are a motion that goes on: both well above standing, and the same way. */
function goOn(before: Step, after: Step): boolean {
  const fast = Math.min(Math.hypot(before.x, before.y), Math.hypot(after.x, after.y)) > movingPx;
  return fast && before.x * after.x + before.y * after.y > 0;
}

interface Step {
  x: number;
  y: number;
}
