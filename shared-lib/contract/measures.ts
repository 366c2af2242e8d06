import type { Lift } from './lift.ts';

/** What a measure is, in one place for files and calls; its words are in shared-lib/texts. */
export interface MeasureInfo {
  /** Name in files. */
  name: ChangeName;
  unit: 'm' | 's' | 'm/s' | '%' | 'rad' | '1';
  /** The difference worth acting on, SI, common practice; null where none is agreed. */
  delta: number | null;
}

export const measureNames = [
  'rom_m',
  'depth_m',
  'descent_s',
  'pause_s',
  'drive_s',
  'mean_drive_mps',
  'peak_drive_mps',
  'slowest_mps',
  'slowest_height_pct',
  'sticking_mps',
  'sticking_drop_mps',
  'sticking_height_pct',
  'sticking_s',
  'mean_descent_mps',
  'peak_descent_mps',
  'peak_descent_height_m',
  'speed_5cm_mps',
  'hesitations',
  'sink_m',
  'heave_m',
  'drift_bottom_m',
  'drift_lockout_m',
  'drift_max_m',
  'drift_min_m',
  'bow_m',
  'first_angle_rad',
  'fall_m',
  'stops',
  'longest_stop_s',
  'settle_s',
  'setup_sway_m',
  'sag_m',
  'hold_sway_m',
] as const;
export type MeasureName = (typeof measureNames)[number];

/** What a pair is compared by: measures of the bar, and where it starts over a landmark that was marked in both reps. */
export type ChangeName = MeasureName | 'place_start_m';

/** One number per measure, SI; null where the measure does not exist in this rep or lift. */
export type MeasureValues = Record<MeasureName, number | null>;

/**
 * No measure yet. Written out, since draws make millions: an object that is given its names one after the other has a table
 * of its own, which cost as much to throw away as all else of a draw.
 */
export const noMeasures = (): MeasureValues => ({
  rom_m: null,
  depth_m: null,
  descent_s: null,
  pause_s: null,
  drive_s: null,
  mean_drive_mps: null,
  peak_drive_mps: null,
  slowest_mps: null,
  slowest_height_pct: null,
  sticking_mps: null,
  sticking_drop_mps: null,
  sticking_height_pct: null,
  sticking_s: null,
  mean_descent_mps: null,
  peak_descent_mps: null,
  peak_descent_height_m: null,
  speed_5cm_mps: null,
  hesitations: null,
  sink_m: null,
  heave_m: null,
  drift_bottom_m: null,
  drift_lockout_m: null,
  drift_max_m: null,
  drift_min_m: null,
  bow_m: null,
  first_angle_rad: null,
  fall_m: null,
  stops: null,
  longest_stop_s: null,
  settle_s: null,
  setup_sway_m: null,
  sag_m: null,
  hold_sway_m: null,
});

/**
 * Differences worth acting on are common practice and editable by the coach. Mean drive velocity's holds
 * across days; within one session it is 0.05 m/s.
 */
export const measureInfo: Record<ChangeName, MeasureInfo> = {
  rom_m: { name: 'rom_m', unit: 'm', delta: null },
  depth_m: { name: 'depth_m', unit: 'm', delta: 0.02 },
  descent_s: { name: 'descent_s', unit: 's', delta: 0.3 },
  pause_s: { name: 'pause_s', unit: 's', delta: 0.3 },
  drive_s: { name: 'drive_s', unit: 's', delta: null },
  mean_drive_mps: { name: 'mean_drive_mps', unit: 'm/s', delta: 0.1 },
  peak_drive_mps: { name: 'peak_drive_mps', unit: 'm/s', delta: null },
  slowest_mps: { name: 'slowest_mps', unit: 'm/s', delta: 0.05 },
  slowest_height_pct: {
    name: 'slowest_height_pct',
    unit: '%',

    delta: null,
  },
  sticking_mps: { name: 'sticking_mps', unit: 'm/s', delta: null },
  sticking_drop_mps: {
    name: 'sticking_drop_mps',
    unit: 'm/s',

    delta: null,
  },
  sticking_height_pct: {
    name: 'sticking_height_pct',
    unit: '%',

    delta: null,
  },
  sticking_s: { name: 'sticking_s', unit: 's', delta: null },
  mean_descent_mps: { name: 'mean_descent_mps', unit: 'm/s', delta: null },
  peak_descent_mps: { name: 'peak_descent_mps', unit: 'm/s', delta: null },
  peak_descent_height_m: {
    name: 'peak_descent_height_m',
    unit: 'm',

    delta: null,
  },
  speed_5cm_mps: {
    name: 'speed_5cm_mps',
    unit: 'm/s',

    delta: null,
  },
  hesitations: { name: 'hesitations', unit: '1', delta: null },
  sink_m: { name: 'sink_m', unit: 'm', delta: null },
  heave_m: { name: 'heave_m', unit: 'm', delta: null },
  drift_bottom_m: { name: 'drift_bottom_m', unit: 'm', delta: 0.02 },
  drift_lockout_m: { name: 'drift_lockout_m', unit: 'm', delta: 0.02 },
  drift_max_m: { name: 'drift_max_m', unit: 'm', delta: 0.02 },
  drift_min_m: { name: 'drift_min_m', unit: 'm', delta: 0.02 },
  bow_m: { name: 'bow_m', unit: 'm', delta: 0.02 },
  first_angle_rad: {
    name: 'first_angle_rad',
    unit: 'rad',

    delta: null,
  },
  fall_m: { name: 'fall_m', unit: 'm', delta: 0.01 },
  stops: { name: 'stops', unit: '1', delta: null },
  longest_stop_s: { name: 'longest_stop_s', unit: 's', delta: 0.3 },
  settle_s: { name: 'settle_s', unit: 's', delta: null },
  setup_sway_m: { name: 'setup_sway_m', unit: 'm', delta: null },
  sag_m: { name: 'sag_m', unit: 'm', delta: 0.01 },
  hold_sway_m: { name: 'hold_sway_m', unit: 'm', delta: null },
  place_start_m: { name: 'place_start_m', unit: 'm', delta: 0.02 },
};

/**
 * The six headline slots of a lift, in the order shown. `place_start` needs a landmark; without one the
 * slot is said not to have been judged. On the bench `drift_bottom_m` is the drift at touch.
 */
export type HeadlineSlot = MeasureName | 'place_start' | 'fall_or_stop';
export const headlineSlots: Record<Lift, readonly HeadlineSlot[]> = {
  squat: ['drift_bottom_m', 'drift_lockout_m', 'depth_m', 'descent_s', 'mean_drive_mps', 'slowest_mps'],
  bench: ['drift_bottom_m', 'drift_lockout_m', 'descent_s', 'pause_s', 'bow_m', 'slowest_mps'],
  deadlift: ['place_start', 'drift_max_m', 'fall_or_stop', 'mean_drive_mps', 'slowest_mps', 'sag_m'],
};

/** A lift's headline measures that are measured of every rep, in the order they are shown. */
export const headlineMeasures = (lift: Lift): MeasureName[] =>
  headlineSlots[lift].filter((slot): slot is MeasureName =>
    (measureNames as readonly string[]).includes(slot),
  );
