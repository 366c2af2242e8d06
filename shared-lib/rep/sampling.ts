import type { Motion } from '../contract/motion.ts';

/** A moment on a motion's time base: sample index, fractions between samples. */
export type At = number;

export const timeAt = (motion: Motion, at: At): number => motion.t0S + at * motion.dtS;
export const atTime = (motion: Motion, tS: number): At => (tS - motion.t0S) / motion.dtS;

/** A signal between its samples, linear; ends are held. */
export function valueAt(signal: Float64Array, at: At): number {
  const i = Math.max(0, Math.min(signal.length - 2, Math.floor(at)));
  const u = Math.max(0, Math.min(1, at - i));
  return signal.length < 2 ? signal[0] : signal[i] * (1 - u) + signal[i + 1] * u;
}

/** Where the signal passes `level` between samples i and i + 1. */
export function crossing(signal: Float64Array, i: number, level: number): At {
  const a = signal[i];
  const b = signal[i + 1];
  return a === b ? i : i + Math.max(0, Math.min(1, (level - a) / (b - a)));
}

/** The whole samples within [from, to], as indices [first, last]. */
export function samplesWithin(motion: Motion, from: At, to: At): [number, number] {
  return [Math.max(0, Math.ceil(from - 1e-9)), Math.min(motion.yM.length - 1, Math.floor(to + 1e-9))];
}

export interface Extreme {
  at: At;
  value: number;
}

/** Where a signal turns about sample i, whose neighbours lie to one side of it: the vertex of the parabola through the three. */
export function turnAt(signal: Float64Array, i: number): At {
  if (i <= 0 || i >= signal.length - 1) return i;
  const [before, here, after] = [signal[i - 1], signal[i], signal[i + 1]];
  const bend = before - 2 * here + after;
  return bend === 0 ? i : i + Math.max(-0.5, Math.min(0.5, (before - after) / (2 * bend)));
}

/** The least value of `sign` times the signal over [from, to], both ends included. */
function least(motion: Motion, signal: Float64Array, from: At, to: At, sign: number): Extreme {
  // Drawn reps come here millions of times: an object for each new best took half of all that drawing them throws away.
  let at = from;
  let value = valueAt(signal, from);
  const [first, last] = samplesWithin(motion, from, to);
  for (let i = first; i <= last; i++) {
    if (sign * signal[i] < sign * value) {
      at = i;
      value = signal[i];
    }
  }
  const end = valueAt(signal, to);
  return sign * end < sign * value ? { at: to, value: end } : { at, value };
}

export const lowest = (motion: Motion, signal: Float64Array, from: At, to: At): Extreme =>
  least(motion, signal, from, to, 1);
export const highest = (motion: Motion, signal: Float64Array, from: At, to: At): Extreme =>
  least(motion, signal, from, to, -1);

/**
 * Spans of [from, to] in which the signal stays below `level` in magnitude; spans apart by less than
 * `bridgeS` are taken as one.
 */
export function stillSpans(
  motion: Motion,
  signal: Float64Array,
  from: At,
  to: At,
  level: number,
  bridgeS = 0,
): { from: At; to: At }[] {
  const spans: { from: At; to: At }[] = [];
  const [first, last] = samplesWithin(motion, from, to);
  let open = Math.abs(valueAt(signal, from)) < level ? from : NaN;
  for (let i = first; i <= last; i++) {
    const inside = Math.abs(signal[i]) < level;
    if (inside && Number.isNaN(open)) {
      open = i > 0 ? Math.max(from, crossing(signal, i - 1, signal[i - 1] > 0 ? level : -level)) : i;
    } else if (!inside && !Number.isNaN(open)) {
      const end = i > first ? crossing(signal, i - 1, signal[i] > 0 ? level : -level) : i;
      spans.push({ from: open, to: Math.max(open, end) });
      open = NaN;
    }
  }
  if (!Number.isNaN(open)) spans.push({ from: open, to });
  const joined: { from: At; to: At }[] = [];
  for (const span of spans) {
    const before = joined.at(-1);
    if (before && (span.from - before.to) * motion.dtS < bridgeS) before.to = span.to;
    else joined.push({ ...span });
  }
  return joined;
}
