import type { CueCall } from '../contract/weeks.ts';
import type { LetterSectionName } from '../contract/hand-back.ts';
import type { Lift } from '../contract/lift.ts';
import type { MeasureName } from '../contract/measures.ts';

/** "a", "a and b", "a, b and c" */
const listed = (words: readonly string[]): string =>
  words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;

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

/** What a measure is in a lifter's words, to stand inside a sentence. Those that no cue can be about keep their trade name. */
const nouns: Partial<Record<MeasureName, string>> = {
  depth_m: 'how far down the bar went',
  descent_s: 'the time on the way down',
  pause_s: 'the pause',
  mean_drive_mps: 'the speed on the way up',
  slowest_mps: 'the speed at the slowest point on the way up',
  drift_bottom_m: 'where the bar was at the bottom',
  drift_lockout_m: 'where the bar finished',
  bow_m: 'how far the bar bent off a straight line on the way up',
  fall_m: 'how far the bar fell back on the way up',
  longest_stop_s: 'how long the bar stood still on the way up',
  sag_m: 'how far the bar sank after lockout',
};
const benchNouns: Partial<Record<MeasureName, string>> = { drift_bottom_m: 'where the bar touched' };

/**
 * Every word of what goes back to a lifter: the letter on the page, the film's captions and the message. A translation is
 * another object of this shape.
 */
export const english = {
  listed,
  headings,
  answerUnasked: 'In short',
  noun: (name: MeasureName, lift: Lift): string | undefined =>
    (lift === 'bench' ? benchNouns[name] : undefined) ?? nouns[name],
  lifts: { squat: 'squat', bench: 'bench press', deadlift: 'deadlift' } satisfies Record<Lift, string>,

  pain: (said: string) =>
    `You mentioned: “${said}”. Nothing here judges pain or where it comes from. Please see a licensed clinician before you train on.`,
  asked: (question: string) => `“${question}”`,
  differs: (found: readonly string[]) => `Held against the reference rep: ${found.join('; ')}.`,
  nothingDiffers: 'Held against the reference rep, nothing that could be judged differs enough to act on.',
  nothingTold: 'These clips do not decide it: what was measured leaves open whether the two reps differ.',

  earlier: (cue: string, call: CueCall, then: string | null, now: string | null) => {
    const figures = then && now ? ` ${then} then, ${now} today.` : '';
    const outcome: Record<CueCall, string> = {
      took: `“${cue}” took.`,
      'not yet': `“${cue}” has not taken yet.`,
      'cannot tell': `Whether “${cue}” took cannot be told this time.`,
    };
    return outcome[call] + figures;
  },

  heldUp: (nouns: readonly string[]) => `As in the reference rep, as far as it matters: ${listed(nouns)}.`,

  cueForMeasure: (noun: string, way: string) => `It should show in ${noun}: ${way}.`,
  cueForSeen: (seen: string) => `Why: ${seen}, seen in today’s clip.`,
  nothingToChange: 'Nothing needs to change: keep doing what you do.',
  noCue: 'No cue this time.',
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

  film: {
    reference: 'Reference',
    today: 'Today',
    title: (which: string, kg: number | null) => (kg === null ? which : `${which} · ${kg} kg`),
    caution:
      'Measured at the near end of the bar. No medical advice: see a licensed clinician for pain. Referees decide. Heavy attempts need spotters or safeties.',
    phases: { 'set-up': 'Set-up', descent: 'Descent', pause: 'Pause', drive: 'Drive', hold: 'Hold' },
    seconds: (s: number) => `${s.toFixed(1)} s`,
    done: (phase: string, s: number) => `${phase} ${s.toFixed(1)} s`,
    pace: (percent: number) => `at ${percent} % speed`,
    waits: 'waits',
    notBegun: 'clip has not begun',
    ended: 'clip has ended',
  },

  message: {
    hello: (name: string | null) => (name ? `Hello ${name},` : 'Hello,'),
    thanks: (lift: string) => `thank you for the ${lift}. Before I can say much about it:`,
    facts: 'Please tell me',
    clip: 'And please film it once more, some other day and with whatever is on your plan',
    why: (problem: string, better: string) => `${problem} ${better}`,
    load: (which: string) => `the load on the bar ${which}`,
    ofToday: 'in the clip you sent',
    ofReference: 'in the earlier clip',
    asked: 'what you would like to know',
    day: 'the day it was filmed',
    pause: 'whether you meant to pause on the chest',
    effort: 'how many more reps would have gone',
    equipment: 'what you wore (belt, wraps, sleeves)',
    unreadable:
      'The bar could not be followed in it. Stand the phone square to the bar’s end, so that the whole disc at the near end is in the picture all the time.',
    cutShort: 'The file arrived cut short or damaged. Please send the original file once more.',
    hurts: 'And does anything hurt? If so, please see a licensed clinician before training on.',
  },
};
export type Texts = typeof english;
