import type { BodyEvent, BodyMeasureName } from '../contract/body.ts';
import type { Lift } from '../contract/lift.ts';

const standing: Record<BodyMeasureName, string> = {
  place_m: 'bar against mid-foot',
  trunk_rad: 'trunk against upright',
  hip_rad: 'hip angle',
  knee_rad: 'knee angle',
  elbow_rad: 'elbow angle',
  crease_m: 'hip crease against top of knee',
  hip_above_m: 'hip against the bar',
};

/** What differs in the bodies as they were marked. */
export const bodyTexts = {
  events: {
    start: 'at the start',
    touch: 'at touch',
    bottom: 'at the bottom',
    knee: 'when the bar is at the knee',
    slowest: 'at the slowest point',
    lockout: 'at lockout',
  } satisfies Record<BodyEvent, string>,
  measures: {
    squat: standing,
    bench: { ...standing, place_m: 'bar against the shoulder joint' },
    deadlift: standing,
  } satisfies Record<Lift, Record<BodyMeasureName, string>>,
  forward: (size: string) => `${size} forward`,
  backward: (size: string) => `${size} backward`,
  above: (size: string) => `${size} above`,
  below: (size: string) => `${size} below`,
  more: (size: string, way: string) => `${size} more ${way}`,
  toward: (size: string, way: string) => `${size} ${way}`,
  furtherForward: (size: string) => `${size} further forward`,
  moreUpright: (size: string) => `${size} more upright`,
  higher: (size: string) => `${size} higher`,
  lower: (size: string) => `${size} lower`,
  moreOpen: (size: string) => `${size} more open`,
  moreBent: (size: string) => `${size} more bent`,
  what: (measure: string, event: string) => `${measure} ${event}`,
  notFromHere: (what: string, open: string) =>
    `${what}: cannot be judged from this angle; the view alone leaves ± ${open} open.`,
  onlyToday: (what: string, value: string) =>
    `${what}: ${value} in today’s rep; the other rep lacks its marks.`,
  onlyReference: (what: string, value: string) =>
    `${what}: ${value} in the reference; the other rep lacks its marks.`,
  differs: (what: string, by: string) => `${what}: ${by} than in the reference.`,
  same: (what: string, by: string) => `${what}: no difference that the marks and the view can tell (${by}).`,
};
