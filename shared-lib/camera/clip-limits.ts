import type { ClipCheck, Verdict } from '../contract/clip.ts';

export type MeasureKind = keyof ClipCheck['verdicts'];

export type ShownFigures = Omit<ClipCheck, 'verdicts' | 'advice'>;

/** What the limits look at. */
export type ClipFigures = ShownFigures & {
  /** Share of the clip's frames that repeat the one before. */
  duplicatedShare: number;
  /** Shake as a share of the disc's diameter, and smear likewise; null when not estimated. */
  shakeShare: number;
  blurShare: number | null;
};

/** From where on a figure makes a kind of measure poor, and from where on it cannot carry it at all. */
type Limit = readonly [poorFrom: number, cannotFrom: number];

export interface ClipLimit {
  figure: (f: ClipFigures) => number | null;
  /** Whether high or low figures are bad. */
  bad: 'above' | 'below';
  limits: Partial<Record<MeasureKind, Limit>>;
  /** Where the limits come from. */
  source: string;
  /** What stands in the way, as a sentence. */
  problem: (f: ClipFigures) => string;
  /** How to film it better. */
  better: string;
}

const percent = (share: number): string => `${Math.round(100 * share)} %`;
const never = Infinity;

/** What a clip must bring for each kind of measure, in the order in which problems are told. */
export const clipLimits: readonly ClipLimit[] = [
  {
    figure: (f) => f.offSquareDeg,
    bad: 'above',
    limits: { drift: [25, 35], vertical: [35, never], velocity: [35, never] },
    // A centimetre of sideways travel is seen as drift by the tangent: 4.7 mm at 25 degrees, 7 mm at 35.
    source: 'tangent of the angle; where it becomes too much is common practice',
    problem: (f) => `The camera stood ${Math.round(f.offSquareDeg)} degrees off square to the bar's path.`,
    better: "Stand the phone square to the bar's end, so that the disc looks round.",
  },
  {
    figure: (f) => Math.abs(f.rollDeg),
    bad: 'above',
    limits: { drift: [5, 30] },
    source: 'common practice',
    problem: (f) => `The picture leans by ${Math.abs(f.rollDeg).toFixed(1)} degrees.`,
    better: "Level the phone by the rack's uprights.",
  },
  {
    figure: (f) => f.discDiameterPx,
    bad: 'below',
    limits: { drift: [60, 30], vertical: [60, 30], velocity: [60, 30], tempo: [30, 0] },
    // At 60 px a pixel is 7.5 mm of bar travel, at 30 px 15 mm.
    source: 'common practice',
    problem: (f) => `The disc is only ${Math.round(f.discDiameterPx)} pixels across.`,
    better: 'Zoom in, or film at a higher resolution, so that the lift fills the height of the picture.',
  },
  {
    figure: (f) => f.fps,
    bad: 'below',
    limits: { drift: [15, 5], vertical: [15, 5], velocity: [25, 20], tempo: [20, 10] },
    source:
      'mean velocity needs about 25 frames a second (Bardella et al. 2017, Sports Biomech 16(1):102-114, from memory); the rest common practice',
    problem: (f) => `The clip holds only ${f.fps.toFixed(0)} different pictures a second of real time.`,
    better: 'Film at 60 frames a second.',
  },
  {
    figure: (f) => f.unevenness,
    bad: 'above',
    limits: { velocity: [1.5, 5], tempo: [3, 10] },
    source: 'common practice',
    problem: (f) =>
      `The frames are unevenly spaced: gaps of ${f.unevenness.toFixed(1)} times the usual occur.`,
    better: 'Film in good light and send the original file, not a copy that a chat program made.',
  },
  {
    figure: (f) => f.duplicatedShare,
    bad: 'above',
    limits: { velocity: [0.05, 0.6], tempo: [0.3, 0.8] },
    source: 'common practice',
    problem: (f) => `${percent(f.duplicatedShare)} of the frames only repeat the one before.`,
    better: 'Send the original file rather than a screen recording or a converted copy.',
  },
  {
    figure: (f) => f.blurShare,
    bad: 'above',
    // Evenly smeared, an edge keeps its middle; beyond half a disc there is no edge left to find.
    limits: { drift: [0.25, 0.5], vertical: [0.25, 0.5], velocity: [0.15, 0.5] },
    source: 'common practice',
    problem: (f) => `At its fastest the bar is smeared over ${Math.round(f.blurPx!)} pixels.`,
    better: 'Film in brighter light, so that the shutter is faster.',
  },
  {
    figure: (f) => f.shakeShare,
    bad: 'above',
    limits: { drift: [0.15, never], vertical: [0.15, never], velocity: [0.25, never] },
    source: 'common practice',
    problem: (f) =>
      `The camera moved by ${Math.round(f.shakePx)} pixels; most of it has been taken out, not all.`,
    better: 'Put the phone on something that stands still.',
  },
  {
    figure: (f) => f.hiddenShare,
    bad: 'above',
    limits: { drift: [0.2, 0.5], vertical: [0.2, 0.5], velocity: [0.2, 0.5], tempo: [0.3, 0.5] },
    source: 'common practice',
    problem: (f) => `The disc is hidden in ${percent(f.hiddenShare)} of the rep.`,
    better:
      "Choose a place, well outside the drop and spotting zones, from which nothing crosses the bar's end; spotters never move for the view.",
  },
];

/** The verdict of one limit on one kind of measure. */
export function judge(limit: ClipLimit, kind: MeasureKind, f: ClipFigures): Verdict {
  const value = limit.figure(f);
  const range = limit.limits[kind];
  if (value === null || !range) return 'good';
  const beyond = (from: number): boolean => (limit.bad === 'above' ? value > from : value < from);
  return beyond(range[1]) ? 'cannot carry' : beyond(range[0]) ? 'poor' : 'good';
}
