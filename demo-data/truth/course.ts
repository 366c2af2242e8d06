import type { BarMotion } from '../motion/bar-motion.ts';

/** Speed that counts as moving, m/s. */
export const v0Mps = 0.03;
const stepS = 0.0005;

/** A stretch of the exact motion on a fine grid, with times of crossings refined on the motion itself. */
export interface Course {
  tS: Float64Array;
  xM: Float64Array;
  yM: Float64Array;
  vMps: Float64Array;
  /** Where |v| (or v) crosses a level between grid points i and i + 1. */
  crossing(i: number, level: number, of: (vMps: number) => number): number;
}

export function courseOf(motion: BarMotion, fromS: number, toS: number): Course {
  const count = Math.max(2, Math.round((toS - fromS) / stepS) + 1);
  const tS = new Float64Array(count);
  const xM = new Float64Array(count);
  const yM = new Float64Array(count);
  const vMps = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    tS[i] = fromS + i * stepS;
    const state = motion.at(tS[i]);
    xM[i] = state.xM;
    yM[i] = state.yM;
    vMps[i] = state.vyMps;
  }
  return {
    tS,
    xM,
    yM,
    vMps,
    crossing(i, level, of) {
      let [a, b] = [tS[i], tS[i + 1]];
      const rising = of(motion.at(b).vyMps) > of(motion.at(a).vyMps);
      for (let k = 0; k < 30; k++) {
        const mid = (a + b) / 2;
        if (of(motion.at(mid).vyMps) > level === rising) b = mid;
        else a = mid;
      }
      return (a + b) / 2;
    },
  };
}

/** Indices of minima with at least this much fall before and rise after them, in order. */
export function valleysOf(a: Float64Array, prominence: number): number[] {
  const found: number[] = [];
  let [high, low, falling] = [0, 0, false];
  for (let i = 0; i < a.length; i++) {
    if (falling) {
      if (a[i] < a[low]) low = i;
      if (a[i] - a[low] < prominence) continue;
      found.push(low);
      [high, falling] = [i, false];
    } else {
      if (a[i] > a[high]) high = i;
      if (a[high] - a[i] < prominence) continue;
      [low, falling] = [i, true];
    }
  }
  return found;
}

export interface Stretch {
  fromS: number;
  toS: number;
}

/** Stretches between two times with |v| below the still speed; interruptions shorter than `breakS` do not end one. */
export function stillStretches(c: Course, fromS: number, toS: number, breakS: number): Stretch[] {
  const spans: Stretch[] = [];
  const speed = (v: number) => Math.abs(v);
  const first = c.tS.findIndex((t) => t > fromS);
  let began: number | null = first >= 0 && speed(c.vMps[first]) < v0Mps ? fromS : null;
  for (let i = 0; i < c.tS.length - 1; i++) {
    if (c.tS[i] <= fromS || c.tS[i + 1] >= toS) continue;
    const [now, next] = [speed(c.vMps[i]) < v0Mps, speed(c.vMps[i + 1]) < v0Mps];
    if (now === next) continue;
    const atS = c.crossing(i, v0Mps, speed);
    if (next) began = atS;
    else if (began !== null) {
      spans.push({ fromS: began, toS: atS });
      began = null;
    }
  }
  if (began !== null) spans.push({ fromS: began, toS });
  const joined: Stretch[] = [];
  for (const span of spans) {
    const last = joined[joined.length - 1];
    if (last && span.fromS - last.toS < breakS) last.toS = span.toS;
    else joined.push(span);
  }
  return joined;
}

export const longest = (stretches: readonly Stretch[], none: Stretch): Stretch =>
  stretches.reduce((a, b) => (b.toS - b.fromS > a.toS - a.fromS ? b : a), none);

/** First index in [from, to) for which the test holds, or -1; last likewise. */
export function firstIndex(from: number, to: number, test: (i: number) => boolean): number {
  for (let i = Math.max(0, from); i < to; i++) if (test(i)) return i;
  return -1;
}
export function lastIndex(from: number, to: number, test: (i: number) => boolean): number {
  for (let i = to - 1; i >= Math.max(0, from); i--) if (test(i)) return i;
  return -1;
}

export const argMin = (a: Float64Array, from: number, to: number): number => {
  let best = from;
  for (let i = from; i < to; i++) if (a[i] < a[best]) best = i;
  return best;
};
export const argMax = (a: Float64Array, from: number, to: number): number => {
  let best = from;
  for (let i = from; i < to; i++) if (a[i] > a[best]) best = i;
  return best;
};
