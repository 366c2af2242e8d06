import type { ClipCheck } from '../contract/clip.ts';

type Kind = keyof ClipCheck['verdicts'];

/** What stands against comparing two reps, and what is to be borne in mind where they are. */
export const pairTexts = {
  who: { reference: 'the reference rep', today: 'today’s rep', both: 'both reps' },
  kinds: {
    drift: 'horizontal measures',
    vertical: 'heights',
    velocity: 'velocities',
    tempo: 'durations',
  } satisfies Record<Kind, string>,
  otherVariants: 'The two reps are different variants of the lift, which are not called.',
  onePauses: (pauses: string, goes: string) =>
    `${pauses} pauses at the bottom and ${goes} is touch-and-go: different variants are not called.`,
  notCompleted: (who: string) => `${who} was not completed: its drive compares only up to where it stopped.`,
  endsLower: (who: string, by: string) =>
    `${who} ends ${by} lower than the other: it stopped short of lockout, or the stance is another. Its whole drive is not compared.`,
  rebounds: (who: string) => `${who} rebounds off the floor: start and first pull are not compared.`,
  cannotCarry: (who: string, kind: string) => `The clip of ${who} cannot carry ${kind}.`,
  tooNoisy: (who: string) => `The velocity of ${who} is too noisy at rest to tell when the bar is still.`,

  loadsApart: (reference: string, today: string) =>
    `The loads differ by more than 5 % (${reference} and ${today}): path and speed change with load.`,
  variantsNote: 'The two reps are different variants of the lift: differences are shown and not called.',
  stoppedShort: (who: string, short: string) => `${who} was not completed: it stopped ${short} short.`,
  attemptBefore: (who: string) => `${who} came out of the bottom once before the drive that counts.`,
  attemptsBefore: (who: string, times: number) =>
    `${who} came out of the bottom ${times} times before the drive that counts.`,
  noPlaceOverFoot:
    'Where the bar sits over the foot was not judged: drift is relative to each rep’s own start.',
  noPlace:
    'The start position was not judged: without a landmark on the body only drift from each rep’s own start is known.',
  placeOpen: {
    shoulder: 'The camera’s view leaves too much open of where the bar is over the shoulder.',
    foot: 'The camera’s view leaves too much open of where the bar is over the foot.',
  },

  /** Why an earlier rep does not compare with today's. */
  apart: {
    lift: 'It is another lift.',
    noLoad: 'Its load or today’s is not known.',
    load: (earlier: string, today: string) =>
      `Its load, ${earlier}, is more than 5 % from today’s ${today}: path and speed change with load.`,
    is: (earlier: string, today: string) => `It was ${earlier} and today’s is ${today}.`,
    equipment: (earlier: string, today: string) => `It was done with ${earlier}, today’s with ${today}.`,
    intent: (earlier: string, today: string) => `It was meant ${earlier}, today’s ${today}.`,
    effort: (earlier: number, today: number) =>
      `It left ${earlier} reps undone, today’s left ${today}: the effort differs.`,
    fatigue: (earlier: string, today: string) => `It was a ${earlier}, today’s a ${today}: fatigue differs.`,
  },
  /** What is chosen of a rep's circumstances, as words in a sentence. */
  circumstances: {
    paused: 'paused',
    'touch-and-go': 'touch-and-go',
    'as fast as possible': 'as fast as possible',
    controlled: 'controlled',
    'warm-up': 'warm-up',
    'first work set': 'first work set',
    'later set': 'later set',
  },
};
