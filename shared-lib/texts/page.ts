import type { Call } from '../contract/pair.ts';

const numerals = ['none', 'one', 'two', 'three', 'four', 'five', 'six'];
const count = (n: number) => numerals[n] ?? String(n);
/** What n measures with a call do: "two differ". */
const says: Record<Call, (who: string, n: number) => string> = {
  changed: (who, n) => `${who} ${n === 1 ? 'has' : 'have'} changed`,
  differs: (who, n) => `${who} ${n === 1 ? 'differs' : 'differ'}`,
  'no clear change': (who, n) => `${who} ${n === 1 ? 'shows' : 'show'} no clear change`,
  'cannot tell': (who) => `for ${who} these clips cannot tell`,
};

/** The page round the letter, its charts and everything that was measured. */
export const pageTexts = {
  language: 'en',
  title: (lift: string) => `${lift}: today beside the reference`,
  eyebrow: 'Two reps in step',
  sides: { reference: 'Reference', today: 'Today' },
  footer: 'Measured with Lockstep on the coach’s own machine. This page loads nothing and sends nothing.',
  record: 'Everything that was measured',
  noLoad: 'load not given',
  rep: (n: number, outcome: string) => `rep ${n}, ${outcome}`,
  filmed: (rep: string, day: string) => `${rep}, filmed on ${day}`,
  completed: 'completed',
  notCompleted: (short: string) => `not completed, stopped ${short} short`,
  afterAttempt: (outcome: string) => `${outcome}, after 1 earlier attempt out of the bottom`,
  afterAttempts: (outcome: string, n: number) => `${outcome}, after ${n} earlier attempts out of the bottom`,
  noDays: 'The clips carry no date that can be relied on, so none is given here.',
  watch: 'Watch both reps in step:',
  watchHow: ', the film that came with this page. Keep the two in one folder.',

  changes: {
    title: 'What changed',
    none: 'No headline measure could be called for this pair.',
    /** Every measure that is called has this one call. */
    all: {
      changed: (n: number) => allOf('changed', n),
      differs: (n: number) => allOf('differs', n),
      'no clear change': (n: number) => allOf('no clear change', n),
      'cannot tell': (n: number) => allOf('cannot tell', n),
    } satisfies Record<Call, (n: number) => string>,
    some: {
      changed: (n: number) => says.changed(count(n), n),
      differs: (n: number) => says.differs(count(n), n),
      'no clear change': (n: number) => says['no clear change'](count(n), n),
      'cannot tell': (n: number) => says['cannot tell'](count(n), n),
    } satisfies Record<Call, (n: number) => string>,
    of: (n: number, parts: readonly string[]) =>
      `Of ${count(n)} headline measures, ${parts.slice(0, -1).join(', ')}, and ${parts.at(-1)}.`,
    strip: (label: string) => `Change: ${label}`,
    stripFinding: (change: string, interval: string) => `${change}, 95 % interval ${interval}.`,
    bothValues: (reference: string, today: string) => `${reference} in the reference, ${today} today.`,
    more: (n: number) => `${n} more, shown without a call`,
    howDrawn:
      'In each small chart the diamond is the measured change, today minus reference, the line its 95 % interval, the upright line no change; inside the grey zone a change is too small to act on.',
  },

  path: {
    title: 'The bar’s path',
    chart: 'Bar paths of both reps on one scale',
    fromZero: (finding: string) => `Both paths start at zero. ${finding}`,
    sideways: 'Seen from the side, a centimetre across as long as a centimetre up.',
    waysDrawn: 'The descent is drawn thin, the drive thick.',
    bandDrawn: 'The grey band is where 95 % of this lifter’s ordinary reps run.',
    at: (size: string, way: string, event: string) => `${size} ${way} at ${event}`,
    reference: (places: readonly string[]) => `The reference bar is ${places.join(' and ')}. `,
    today: (places: readonly string[]) => `Today’s bar is ${places.join(' and ')}. `,
    referenceShort: 'The reference bar does not reach lockout. ',
    todayShort: 'Today’s bar does not reach lockout. ',
    fromStart: 'cm from the rep’s own start',
    height: 'height, cm',
  },
  key: { reference: 'reference', today: 'today' },

  velocity: {
    title: 'Speed and phases',
    chart: 'Vertical velocity and phases of both reps',
    finding: (reference: string, today: string) => `Drive of the reference: ${reference}. Today: ${today}.`,
    drive: (mean: string, slowest: string) => `mean ${mean}, slowest point ${slowest}`,
    notMeasured: 'not measured',
    linedUp:
      'Both reps are lined up where the drive starts, in real time. Above zero the bar rises, below it falls.',
    up: 'm/s, up',
    seconds: 'seconds from drive start',
    lasted: 'How long each phase lasted',
    phase: 'Phase',
    notCompleted: 'not completed',
    none: 'none',
    atDriveStart: 'at drive start',
    before: (size: string) => `${size} before drive start`,
    after: (size: string) => `${size} after drive start`,
  },

  moments: {
    title: 'The same moments side by side',
    ofCue: 'the moment of the cue',
    reference: (event: string) => `Reference at ${event}`,
    today: (event: string) => `Today at ${event}`,
    finding: 'A picture from the clip, with the bar’s way up to there drawn in.',
    findingAt: (when: string) => `A picture from the clip, ${when}, with the bar’s way up to there drawn in.`,
  },

  body: 'The body, as it was marked in the pictures',
  notes: 'To bear in mind',

  measures: {
    title: 'Every measure',
    caption: 'Change is today minus reference. Horizontal positions are told from each rep’s own start.',
    measure: 'Measure',
    change: 'Change',
    interval: '95 % interval',
    call: 'Call',
    notCalled: 'not called',
  },

  clips: {
    title: 'What the clips can carry',
    check: 'Clip check',
    offSquare: 'Angle off square',
    roll: 'Lean of the camera',
    shake: 'Shake',
    fps: 'Frames a second',
    blur: 'Smear at full speed',
    disc: 'Disc, across',
    hidden: 'Bar not seen',
    drift: 'Horizontal measures',
    vertical: 'Heights',
    velocity: 'Velocity',
    tempo: 'Tempo',
    notKnown: 'not known',
    pixels: (n: string) => `${n} pixels`,
    ofTheRep: (share: string) => `${share} of the rep`,
    even: (fps: string) => `${fps}, evenly spaced`,
    uneven: (fps: string) => `${fps}, unevenly spaced`,
    doubled: (frames: string, n: number) => `${frames}, ${n} doubled`,
    cutShort: 'The file is cut short or damaged: only what could be read was used.',
    fine: 'Nothing stands in the way of measuring this clip.',
  },

  method: {
    title: 'How it was measured, and how sure it is',
    oneDisc: (size: string) => `a disc taken as ${size} across in both clips`,
    twoDiscs: (reference: string, today: string) =>
      `discs taken as ${reference} across in the reference and ${today} today`,
    followed: (discs: string) =>
      `The bar was followed in every frame of both clips, with ${discs} as the ruler and each frame’s own time stamp as the clock.`,
    slowed: {
      reference: (times: string, source: string) =>
        `The reference clip is slowed ${times} times, ${source}; all times and velocities here are real ones.`,
      today: (times: string, source: string) =>
        `The today clip is slowed ${times} times, ${source}; all times and velocities here are real ones.`,
    },
    sources: { none: 'as assumed', tag: 'as the file is tagged', user: 'as stated by hand' },
    smoothed: (method: string, hz: string) =>
      `Both reps were smoothed in the same way: ${method}; while the bar moves the cut-off is about ${hz} Hz.`,
    intervals: (draws: string, camera: string) =>
      `The 95 % intervals come from ${draws} repeated calculations with every source of error drawn anew: the trace, the disc’s size, the camera’s lean and angle, the lens, the frame times. ${camera}`,
    sameCamera: 'The camera was taken not to have moved between the clips, so what both share cancels.',
    otherCamera: 'The camera was taken to have moved between the clips.',
    headline:
      'Headline measures carry a call. Their intervals hold all at once, so that at most one unchanged pair in twenty carries any false call. The other measures carry their own interval and no call.',
    drift: 'Drift is told from each rep’s own start. Where the bar started over the body shows in no drift.',
    nearEnd:
      'All measures are of the near end of the bar. A loaded bar bends and turns, and one side says nothing about evenness.',
  },
};

function allOf(call: Call, n: number): string {
  if (n === 1) return `${capital(says[call]('the one headline measure', 1))}.`;
  return `${capital(says[call](`${n === 2 ? 'both' : `all ${count(n)}`} headline measures`, n))}.`;
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
