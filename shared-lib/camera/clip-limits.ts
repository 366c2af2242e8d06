import type { ClipCheck, Verdict } from '../contract/clip.ts';
import { texts } from '../texts/texts.ts';

const words = texts.clip.problems;

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
    problem: (f) => words.offSquare.problem(Math.round(f.offSquareDeg)),
    better: words.offSquare.better,
  },
  {
    figure: (f) => Math.abs(f.rollDeg),
    bad: 'above',
    limits: { drift: [5, 30] },
    source: 'common practice',
    problem: (f) => words.roll.problem(Math.abs(f.rollDeg).toFixed(1)),
    better: words.roll.better,
  },
  {
    figure: (f) => f.discDiameterPx,
    bad: 'below',
    limits: { drift: [60, 30], vertical: [60, 30], velocity: [60, 30], tempo: [30, 0] },
    // At 60 px a pixel is 7.5 mm of bar travel, at 30 px 15 mm.
    source: 'common practice',
    problem: (f) => words.smallDisc.problem(Math.round(f.discDiameterPx)),
    better: words.smallDisc.better,
  },
  {
    figure: (f) => f.fps,
    bad: 'below',
    limits: { drift: [15, 5], vertical: [15, 5], velocity: [25, 20], tempo: [20, 10] },
    source:
      'mean velocity needs about 25 frames a second (Bardella et al. 2017, Sports Biomech 16(1):102-114, from memory); the rest common practice',
    problem: (f) => words.fewFrames.problem(f.fps.toFixed(0)),
    better: words.fewFrames.better,
  },
  {
    figure: (f) => f.unevenness,
    bad: 'above',
    limits: { velocity: [1.5, 5], tempo: [3, 10] },
    source: 'common practice',
    problem: (f) => words.uneven.problem(f.unevenness.toFixed(1)),
    better: words.uneven.better,
  },
  {
    figure: (f) => f.duplicatedShare,
    bad: 'above',
    limits: { velocity: [0.05, 0.6], tempo: [0.3, 0.8] },
    source: 'common practice',
    problem: (f) => words.repeated.problem(percent(f.duplicatedShare)),
    better: words.repeated.better,
  },
  {
    figure: (f) => f.blurShare,
    bad: 'above',
    // Evenly smeared, an edge keeps its middle; beyond half a disc there is no edge left to find.
    limits: { drift: [0.25, 0.5], vertical: [0.25, 0.5], velocity: [0.15, 0.5] },
    source: 'common practice',
    problem: (f) => words.smeared.problem(Math.round(f.blurPx!)),
    better: words.smeared.better,
  },
  {
    figure: (f) => f.shakeShare,
    bad: 'above',
    limits: { drift: [0.15, never], vertical: [0.15, never], velocity: [0.25, never] },
    source: 'common practice',
    problem: (f) => words.shaken.problem(Math.round(f.shakePx)),
    better: words.shaken.better,
  },
  {
    figure: (f) => f.hiddenShare,
    bad: 'above',
    limits: { drift: [0.2, 0.5], vertical: [0.2, 0.5], velocity: [0.2, 0.5], tempo: [0.3, 0.5] },
    source: 'common practice',
    problem: (f) => words.hidden.problem(percent(f.hiddenShare)),
    better: words.hidden.better,
  },
  {
    figure: (f) => f.rollU95Deg,
    bad: 'above',
    // Nobody said what is up and no upright shows it: 1.96 times 0.8 degrees; where one shows it, 1.96 times 0.4.
    limits: { drift: [0.9, never] },
    source: 'a degree makes 10 mm of drift in 0.6 m of lift, half of what is worth acting on',
    problem: () => words.noUpright.problem,
    better: words.noUpright.better,
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
