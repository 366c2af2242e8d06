import type { CueCall } from '../contract/weeks.ts';
import type { Lift } from '../contract/lift.ts';
import type { LetterSectionName } from '../contract/hand-back.ts';

/** "a", "a and b", "a, b and c" */
const listed = (words: readonly string[]): string =>
  words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;

const dayFormat = new Intl.DateTimeFormat('en-GB', { dateStyle: 'long', timeZone: 'UTC' });

const headings: Record<LetterSectionName, string> = {
  pain: 'What hurts',
  word: 'From your coach',
  answer: 'What you asked',
  earlier: 'What became of last time’s cues',
  heldUp: 'What held up',
  mainCue: 'The one thing for next time',
  otherCues: 'Also, when that one sits',
  numbers: 'The numbers that matter',
  notJudged: 'What could not be judged, and why',
  filmNext: 'How to film it next time',
  cautions: 'Please bear in mind',
};

/** Every word of the letter that the page begins with. */
export const letterTexts = {
  day: (day: Date) => dayFormat.format(day),
  listed,
  headings,
  answerUnasked: 'In short',

  pain: (said: string) =>
    `You mentioned: “${said}”. Nothing here judges pain or where it comes from. Please see a licensed clinician before you train on.`,
  asked: (question: string) => `“${question}”`,
  differs: (found: readonly string[]) => `Held against the reference rep: ${found.join('; ')}.`,
  nothingDiffers: 'Held against the reference rep, nothing that could be judged differs enough to act on.',
  nothingTold: 'These clips do not decide it: what was measured leaves open whether the two reps differ.',

  earlier: {
    took: (cue: string) => `“${cue}” took.`,
    'not yet': (cue: string) => `“${cue}” has not taken yet.`,
    'cannot tell': (cue: string) => `Whether “${cue}” took cannot be told this time.`,
  } satisfies Record<CueCall, (cue: string) => string>,
  thenAndNow: (outcome: string, then: string, now: string) => `${outcome} ${then} then, ${now} today.`,

  heldUp: (nouns: readonly string[]) => `As in the reference rep, as far as it matters: ${listed(nouns)}.`,

  cueForMeasure: (noun: string, way: string) => `It should show in ${noun}: ${way}.`,
  cueForSeen: (seen: string) => `Why: ${seen}, seen in today’s clip.`,
  nothingToChange: 'Nothing needs to change: keep doing what you do.',
  tooHeavy:
    'Today’s load leaves no room to learn something new on: try it where the bar lets you think about it.',
  competition: (day: string) =>
    `With your competition on ${day}, keep the routine that you know for the day itself.`,

  number: (noun: string, reference: string, today: string) =>
    `${noun}: ${reference} in the reference, ${today} today.`,
  single: (noun: string, today: string) => `${noun}: ${today} today.`,
  changed: (span: string) => `Sure: ${span}, and more than your reps usually vary.`,
  differsSurely: (span: string) => `Sure for these two reps: ${span}.`,
  habit: 'Whether what differs is a habit takes more reps to say than two.',
  same: (least: string) => `The same, as far as it matters: any difference is below ${least}.`,
  openDifference: 'Not sure: the clips leave open how much that really is.',
  loads: (reference: string, today: string) =>
    `The bar was loaded with ${today} today and ${reference} in the reference: path and speed change with load.`,

  apart: (why: string) => `The reference rep against today’s: ${why}`,
  notJudged: (noun: string, why: string) => `${noun}: ${why}`,
  startNotJudged: 'Where the bar was over your body at the start: no landmark was marked in these clips.',
  depthNotJudged: 'How deep your hips went: the bar was measured, not your body.',
  sideNotJudged: (degrees: string) =>
    `How deep your hips went: filmed ${degrees} off square, the picture does not show it.`,
  notCompleted: (short: string) =>
    `The last part of the way up: today’s rep was not completed and stopped ${short} short.`,
  evenness: 'Whether both ends of the bar moved alike: one side of it was filmed.',

  filmedWell: 'This clip could be measured well: film the next one from the same place.',
  filmSafely:
    'Nobody takes a risk for a clip: the phone stands well outside the drop and spotting zones, spotters and safeties stay where they belong, and a heavy attempt is never repeated for the camera.',

  cautions: [
    'This is no medical advice. With pain, stop and see a licensed clinician.',
    'In competition your federation’s current rulebook and the referees decide; nothing here is a ruling.',
    'Heavy attempts need competent spotters or safeties; comparing videos replaces neither.',
  ],

  /** What coaches often see and the program does not measure, by lift; the first nine have a key each. */
  oftenSeen: {
    squat: [
      'Heels come up',
      'Knees move inward',
      'Chest drops out of the bottom',
      'Weight goes to the toes',
      'Hips move to one side',
      'Head lifts',
    ],
    bench: [
      'Hips leave the bench',
      'Feet move',
      'Wrists bend back',
      'Elbows flare early',
      'Head lifts',
      'Bar goes up uneven',
    ],
    deadlift: [
      'Hips rise first',
      'Bar leaves the legs',
      'Knees unlock again',
      'Shoulders stay in front',
      'Head lifts',
      'Back changes shape off the floor',
    ],
  } satisfies Record<Lift, readonly string[]>,
};
