import type { TraceSample } from '../contract/trace.ts';

/** A disc that moves this much from frame to frame is moving; one that moves less than this is not, pixels. */
const movingPx = 1;
const standingPx = 0.15;
/** Films brought to a higher rate repeat a picture up to this many times. */
const mostRepeats = 3;

/**
 * Frames that repeat the picture before them, as indices, found where the bar moves: it stands for a few frames
 * while it moves the same way before and after, which no bar does. (In a still scene a repeated picture shows
 * nothing and harms nothing.)
 */
export function repeatedFrames(samples: readonly TraceSample[]): number[] {
  const steps = samples.map((s, i) => {
    const before = samples[i - 1] as TraceSample | undefined;
    const both = before?.state === 'seen' && s.state === 'seen';
    return both ? { x: s.xPx - before.xPx, y: s.yPx - before.yPx } : null;
  });
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
