import type { Verdict } from '../contract/clip.ts';
import type { Lift } from '../contract/lift.ts';
import type { ChangeName, MeasureName } from '../contract/measures.ts';
import type { Call } from '../contract/pair.ts';

/** What a measure is called on screens and pages, lower case, without the unit; a lift may have another name for it. */
const labels: Record<ChangeName, string> = {
  rom_m: 'range of motion',
  depth_m: 'depth of the bottom below the start',
  descent_s: 'descent',
  pause_s: 'pause',
  drive_s: 'drive',
  mean_drive_mps: 'mean drive velocity',
  peak_drive_mps: 'peak drive velocity',
  slowest_mps: 'velocity at the slowest point',
  slowest_height_pct: 'height of the slowest point',
  sticking_mps: 'velocity at the sticking point',
  sticking_drop_mps: 'drop into the sticking point',
  sticking_height_pct: 'height of the sticking point',
  sticking_s: 'sticking region',
  mean_descent_mps: 'mean descent velocity',
  peak_descent_mps: 'peak descent velocity',
  peak_descent_height_m: 'height of the fastest descent above the bottom',
  speed_5cm_mps: 'descent speed 5 cm above the bottom',
  hesitations: 'hesitations in the descent',
  sink_m: 'sink from touch to bottom',
  heave_m: 'heave before the drive',
  drift_bottom_m: 'drift at the bottom',
  drift_lockout_m: 'drift at lockout',
  drift_max_m: 'furthest drift forward',
  drift_min_m: 'furthest drift backward',
  bow_m: 'bow of the drive',
  first_angle_rad: 'direction of the first 10 cm of the drive',
  fall_m: 'greatest fall in the drive',
  stops: 'stops in the drive',
  longest_stop_s: 'longest stop in the drive',
  settle_s: 'settling after the unrack',
  setup_sway_m: 'sway before the start',
  sag_m: 'sag after lockout',
  hold_sway_m: 'sway after lockout',
  place_start_m: 'place of the bar at the start',
};
const along = (forward: string, backward: string): Partial<Record<ChangeName, string>> => ({
  drift_max_m: `furthest drift ${forward}`,
  drift_min_m: `furthest drift ${backward}`,
});
const bench = { forward: 'toward the feet', backward: 'toward the head' };
const standing = { forward: 'toward the toes', backward: 'toward the heels' };
const standingLabels = {
  ...along(standing.forward, standing.backward),
  place_start_m: 'place of the bar over the mid-foot at the start',
};
const labelsOf: Record<Lift, Partial<Record<ChangeName, string>>> = {
  squat: standingLabels,
  bench: {
    ...along(bench.forward, bench.backward),
    drift_bottom_m: 'drift at touch',
    place_start_m: 'place of the bar over the shoulder at the start',
  },
  deadlift: standingLabels,
};

/**
 * What happened, for a difference above and below zero. `#` stands for the size, `>` for the forward and `<` for
 * the backward direction.
 */
const phrases: Record<ChangeName, readonly [more: string, less: string]> = {
  rom_m: ['The bar travelled # further', 'The bar travelled # less far'],
  depth_m: ['The bar went # deeper', 'The bar stayed # higher at the bottom'],
  descent_s: ['The descent took # longer', 'The descent was # shorter'],
  pause_s: ['The pause was # longer', 'The pause was # shorter'],
  drive_s: ['The drive took # longer', 'The drive was # shorter'],
  mean_drive_mps: ['The drive was # faster on average', 'The drive was # slower on average'],
  peak_drive_mps: ['The drive peaked # faster', 'The drive peaked # slower'],
  slowest_mps: ['The slowest point of the drive was # faster', 'The slowest point of the drive was # slower'],
  slowest_height_pct: [
    'The slowest point came # of the drive higher',
    'The slowest point came # of the drive lower',
  ],
  sticking_mps: ['The sticking point was # faster', 'The sticking point was # slower'],
  sticking_drop_mps: [
    'The bar lost # more speed into the sticking point',
    'The bar lost # less speed into the sticking point',
  ],
  sticking_height_pct: [
    'The sticking point came # of the drive higher',
    'The sticking point came # of the drive lower',
  ],
  sticking_s: ['The sticking region lasted # longer', 'The sticking region was # shorter'],
  mean_descent_mps: ['The descent was # faster on average', 'The descent was # slower on average'],
  peak_descent_mps: ['The descent peaked # faster', 'The descent peaked # slower'],
  peak_descent_height_m: [
    'The descent was fastest # higher above the bottom',
    'The descent was fastest # nearer the bottom',
  ],
  speed_5cm_mps: [
    'The bar came down # faster 5 cm above the bottom',
    'The bar came down # slower 5 cm above the bottom',
  ],
  hesitations: ['The descent had # more hesitations', 'The descent had # fewer hesitations'],
  sink_m: ['The bar sank # more after the touch', 'The bar sank # less after the touch'],
  heave_m: ['The bar was heaved # more before the drive', 'The bar was heaved # less before the drive'],
  drift_bottom_m: ['The bar was # further > at the bottom', 'The bar was # further < at the bottom'],
  drift_lockout_m: ['The bar was # further > at lockout', 'The bar was # further < at lockout'],
  drift_max_m: ['The bar strayed # further >', 'The bar strayed # less far >'],
  drift_min_m: ['The bar strayed # less far <', 'The bar strayed # further <'],
  bow_m: ['The drive bowed # further >', 'The drive bowed # further <'],
  first_angle_rad: ['The drive set off # more >', 'The drive set off # more <'],
  fall_m: ['The greatest fall in the drive was # larger', 'The greatest fall in the drive was # smaller'],
  stops: ['The drive had # more stops', 'The drive had # fewer stops'],
  longest_stop_s: [
    'The longest stop in the drive was # longer',
    'The longest stop in the drive was # shorter',
  ],
  settle_s: ['The bar took # longer to settle', 'The bar settled # sooner'],
  setup_sway_m: ['The bar swayed # more before the start', 'The bar swayed # less before the start'],
  sag_m: ['The bar sagged # more after lockout', 'The bar sagged # less after lockout'],
  hold_sway_m: ['The bar swayed # more after lockout', 'The bar swayed # less after lockout'],
  place_start_m: ['The bar started # further >', 'The bar started # further <'],
};

/** On the bench "at the bottom" is at touch. */
const benchTouch: readonly [string, string] = ['The bar touched # further >', 'The bar touched # further <'];

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

/** What is measured, what is said of it and of the moments and phases of a rep. */
export const measureTexts = {
  liftTitles: { squat: 'Squat', bench: 'Bench press', deadlift: 'Deadlift' } satisfies Record<Lift, string>,
  lifts: { squat: 'squat', bench: 'bench press', deadlift: 'deadlift' } satisfies Record<Lift, string>,
  /** The two horizontal directions. */
  directions: { squat: standing, bench, deadlift: standing } satisfies Record<Lift, typeof bench>,
  labels,
  labelsOf,
  phrases,
  benchTouch,
  nouns,
  benchNouns,
  /** What less and more of a measure are called. */
  ends: {
    depth: ['shallower', 'deeper'],
    height: ['lower', 'higher'],
    time: ['shorter', 'longer'],
    speed: ['slower', 'faster'],
    other: ['less', 'more'],
  } satisfies Record<string, [string, string]>,
  further: (way: string) => `further ${way}`,
  range: (from: string, to: string) => `${from} to ${to}`,
  calls: {
    changed: 'changed',
    differs: 'differs',
    'no clear change': 'no clear change',
    'cannot tell': 'cannot tell',
  } satisfies Record<Call, string>,
  verdicts: {
    good: 'good',
    poor: 'poor, read with care',
    'cannot carry': 'cannot be judged',
  } satisfies Record<Verdict, string>,
  events: {
    start: 'start',
    touch: 'touch',
    bottom: 'bottom',
    'pause start': 'pause start',
    'drive start': 'drive start',
    'lift-off': 'lift-off',
    'slowest point': 'slowest point',
    lockout: 'lockout',
  } as Readonly<Record<string, string>>,
  phases: { 'set-up': 'set-up', descent: 'descent', pause: 'pause', drive: 'drive', hold: 'hold' },
  phaseTitles: { 'set-up': 'Set-up', descent: 'Descent', pause: 'Pause', drive: 'Drive', hold: 'Hold' },
  /** What stands in a block too short for the word. */
  shortPhases: { 'set-up': 's', descent: 'de', pause: 'p', drive: 'dr', hold: 'h' },

  noDifference: (label: string, within: string) => `No difference seen in ${label} (${within})`,
  sized: (size: string, within: string) => `${size} (${within})`,
  said: (statement: string) => `${statement}.`,
  noClearChange: (statement: string) => `${statement}: no clear change.`,
  cannotTell: (statement: string, why: string) => `${statement}. Cannot tell: ${why}`,
};
