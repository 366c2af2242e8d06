import type { PlaneTrace } from '../contract/motion.ts';

/** Spans without any measurement that are longer than this cut the trace, seconds. */
const longestGapS = 0.5;
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
    if (state[i] === 2) continue;
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
 * Measurement variances of [from, to), Infinity where lost. A run of n bridged samples shares one error, so
 * each of them gets n times its variance: together they say what one of them says.
 */
export function variancesOf(
  { state }: PlaneTrace,
  sigmaM: Float64Array,
  from: number,
  to: number,
): Float64Array {
  const variances = new Float64Array(to - from);
  for (let i = from; i < to;) {
    let end = i + 1;
    while (end < to && state[end] === state[i]) end++;
    for (let k = i; k < end; k++) {
      const shared = state[i] === 1 ? end - i : 1;
      variances[k - from] = state[i] === 2 ? Infinity : shared * Math.max(sigmaM[k], 1e-7) ** 2;
    }
    i = end;
  }
  return variances;
}
