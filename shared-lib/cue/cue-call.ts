import type { CueCall } from '../contract/weeks.ts';
import type { Measure } from '../contract/rep.ts';

export interface CueQuestion {
  wanted: 'more' | 'less';
  /** The cue's measure in the review that gave it, and today; null where it was not measured. */
  before: Measure | null;
  now: Measure | null;
  /** The difference worth acting on, SI; null where none is agreed. */
  delta: number | null;
  /** Half of the 95 % interval of the difference of two ordinary reps of the lifter; null where unknown. */
  scatterU95: number | null;
  /** Why the two reps cannot be held against each other; null where they can. */
  notComparable: string | null;
}

export interface CueAnswer {
  call: CueCall;
  why: string;
}

/**
 * Whether a cue took: its measure went the wanted way, surely and far enough to matter. The two reps are of different
 * days, so their errors are independent and each end of the difference's interval is the root of the sum of squares.
 */
export function callOfCue(question: CueQuestion): CueAnswer {
  const { wanted, before, now, delta, scatterU95, notComparable } = question;
  if (notComparable) return { call: 'cannot tell', why: notComparable };
  if (!before) return { call: 'cannot tell', why: 'It was not measured in the review that gave the cue.' };
  if (!now) return { call: 'cannot tell', why: 'It is not measured today.' };
  const scatter = scatterU95 ?? 0;
  const sign = wanted === 'more' ? 1 : -1;
  const change = sign * (now.value - before.value);
  const [nowDown, nowUp] = [now.value - now.lo95, now.hi95 - now.value];
  const [thenDown, thenUp] = [before.value - before.lo95, before.hi95 - before.value];
  const [down, up] =
    sign > 0
      ? [Math.hypot(nowDown, thenUp, scatter), Math.hypot(nowUp, thenDown, scatter)]
      : [Math.hypot(nowUp, thenDown, scatter), Math.hypot(nowDown, thenUp, scatter)];
  const enough = delta ?? 0;
  if (change >= enough && change - down > 0) {
    return {
      call: 'took',
      why:
        scatterU95 === null
          ? 'It went the wanted way by more than measuring explains; how much this lifter’s reps scatter is not known.'
          : 'It went the wanted way by more than measuring and this lifter’s ordinary scatter explain.',
    };
  }
  if (change + up < enough || (delta === null && change + up <= 0)) {
    return {
      call: 'not yet',
      why:
        change + up < 0
          ? 'It went the other way.'
          : 'Any step the wanted way is smaller than what is worth acting on.',
    };
  }
  return { call: 'cannot tell', why: 'The step is within what measuring and ordinary scatter leave open.' };
}

/** The same for something that is seen and not measured. */
export function callOfSeen(seen: boolean | null): CueAnswer {
  if (seen === null) return { call: 'cannot tell', why: 'Nobody has said yet whether it is seen again.' };
  return seen
    ? { call: 'not yet', why: 'The coach sees it again today.' }
    : { call: 'took', why: 'The coach does not see it today.' };
}
