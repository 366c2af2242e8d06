import type { Circumstances } from '../contract/circumstances.ts';
import type { Lift } from '../contract/lift.ts';
import { load } from '../pair/units.ts';
import { texts } from '../texts/texts.ts';

const { apart: words, circumstances: chosen } = texts.pair;

/** What decides whether two reps of one lifter may be held against each other. */
export interface RepAsked {
  lift: Lift;
  loadKg: number | null;
  circumstances: Circumstances;
}

/** Loads further apart than this share of the smaller do not compare (the agreement on bands). */
const loadShare = 0.05;
/** So many more reps left make another effort; common practice. */
const effortReps = 2;

/**
 * Why an earlier rep does not compare with today's, a sentence each; empty where nothing speaks against it. What nobody
 * said of either rep speaks against nothing, but the load must be known.
 */
export function whyNotComparable(earlier: RepAsked, today: RepAsked): string[] {
  const [a, b] = [earlier.circumstances, today.circumstances];
  const out: string[] = [];
  if (earlier.lift !== today.lift) out.push(words.lift);
  if (earlier.loadKg === null || today.loadKg === null) out.push(words.noLoad);
  else if (loadsApart(earlier.loadKg, today.loadKg))
    out.push(words.load(load(earlier.loadKg), load(today.loadKg)));
  if (differ(a.bottom, b.bottom)) out.push(words.is(chosen[a.bottom!], chosen[b.bottom!]));
  if (differ(plain(a.variant), plain(b.variant))) out.push(words.is(a.variant!, b.variant!));
  if (differ(plain(a.equipment), plain(b.equipment))) out.push(words.equipment(a.equipment!, b.equipment!));
  if (differ(a.intent, b.intent)) out.push(words.intent(chosen[a.intent!], chosen[b.intent!]));
  if (a.repsLeft !== null && b.repsLeft !== null && Math.abs(a.repsLeft - b.repsLeft) > effortReps)
    out.push(words.effort(a.repsLeft, b.repsLeft));
  if (a.inSession && b.inSession && (a.inSession === 'later set') !== (b.inSession === 'later set'))
    out.push(words.fatigue(chosen[a.inSession], chosen[b.inSession]));
  return out;
}

/** Whether two reps are the same variant of the lift, as people said; null where they said too little. */
export function sameVariant(a: Circumstances, b: Circumstances): boolean | null {
  if (differ(plain(a.variant), plain(b.variant)) || differ(a.bottom, b.bottom)) return false;
  return a.bottom !== null && b.bottom !== null ? true : null;
}

const loadsApart = (a: number, b: number): boolean => Math.abs(a - b) > loadShare * Math.min(a, b) + 1e-9;
const differ = (a: string | null, b: string | null): boolean => a !== null && b !== null && a !== b;
const plain = (text: string | null): string | null => text?.trim().toLowerCase() || null;
