import type { PlaneTrace } from '../contract/motion.ts';

/** Spans without any measurement that are longer than this cut the trace, seconds: as those that are not bridged. */
const longestGapS = 1;
/** A shorter stretch says nothing about velocity and acceleration. */
const fewestSamples = 4;

/** Index ranges [from, to) without a gap in the measurements that is too long to bridge. */
export function spansOf({ tS, state }: PlaneTrace): [number, number][] {
  const spans: [number, number][] = [];
  let from = -1;
  let last = -1;
  let count = 0;
  const close = (): void => {
    if (from >= 0 && count >= fewestSamples) spans.push([from, last + 1]);
  };
  for (let i = 0; i < tS.length; i++) {
    if (state[i] !== 0) continue;
    if (from < 0 || tS[i] - tS[last] > longestGapS) {
      close();
      from = i;
      count = 0;
    }
    last = i;
    count++;
  }
  close();
  return spans;
}

/**
 * Variances of measurements in units of `unitM` squared; Infinity where there is none: a bridge says nothing of its own.
 */
export const measuredOf = (state: Uint8Array, sigmaM: Float64Array, unitM: number): Float64Array =>
  sigmaM.map((sigma, i) => (state[i] === 0 ? (Math.max(sigma, 1e-7) / unitM) ** 2 : Infinity));
