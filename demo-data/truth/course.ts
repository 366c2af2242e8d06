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
