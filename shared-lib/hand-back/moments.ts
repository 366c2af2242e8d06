import type { Cue } from '../contract/coaching.ts';
import type { Knot } from '../contract/files.ts';
import { buildTimeMap, mapTime } from '../pair/time-map.ts';

/** A cue's moment, real seconds since each clip's first frame. */
export interface CueTimes {
  cue: string;
  referenceS: number;
  todayS: number;
}

/** Where each cue is seen in both reps: its moment, and the other rep's at the same share of the same phase. */
export function cueMoments(cues: readonly Cue[], knots: readonly Knot[]): CueTimes[] {
  if (knots.length === 0) return [];
  const map = buildTimeMap(knots, { clock: 'phase', leadS: 0 });
  return cues.map(({ id, moment: { side, tS } }) => {
    const outS = mapTime(map[`${side}S`], map.outS, tS);
    const at = (name: 'reference' | 'today'): number =>
      name === side ? tS : Math.max(0, mapTime(map.outS, map[`${name}S`], outS));
    return { cue: id, referenceS: at('reference'), todayS: at('today') };
  });
}
