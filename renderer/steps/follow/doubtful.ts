import type { FrameTrack } from '../../../shared-lib/contract/line-up.ts';

/** Frames [from, to] that deserve a look, and why. */
export interface Doubt {
  from: number;
  to: number;
  why: 'lost' | 'bridged' | 'unsure';
}

/** A seen sample below this confidence deserves a look. */
const leastConfidence = 0.5;
/** Doubts nearer together than this are one, frames. */
const joinWithin = 4;

/** Whether nobody looked at a frame. */
export const isLeftOut = ({ leftOut }: Pick<FrameTrack, 'leftOut'>, frame: number): boolean =>
  leftOut.some(({ from, to }) => frame >= from && frame < to);

/** Stretches that were looked at and in which the bar was lost, bridged or hardly seen, in time order; the worst of a stretch names it. */
export function doubtsOf(track: Pick<FrameTrack, 'state' | 'confidence' | 'leftOut'>): Doubt[] {
  const { state, confidence } = track;
  const doubts: Doubt[] = [];
  state.forEach((each, i) => {
    const why = each !== 'seen' ? each : confidence[i] < leastConfidence ? 'unsure' : null;
    if (why === null || isLeftOut(track, i)) return;
    const last = doubts.at(-1);
    if (last && i - last.to <= joinWithin) {
      last.to = i;
      if (rank[why] > rank[last.why]) last.why = why;
    } else doubts.push({ from: i, to: i, why });
  });
  return doubts;
}

const rank: Record<Doubt['why'], number> = { unsure: 0, bridged: 1, lost: 2 };

/** The doubtful stretch after a frame, or before it; round to the other end where there is none. */
export function nextDoubt(doubts: readonly Doubt[], frame: number, step: 1 | -1): Doubt | null {
  const ahead = doubts.filter(({ from }) => (step > 0 ? from > frame : from < frame));
  return (step > 0 ? (ahead[0] ?? doubts[0]) : (ahead.at(-1) ?? doubts.at(-1))) ?? null;
}
