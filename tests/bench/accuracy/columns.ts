import { max, median, quantile, sum } from 'd3-array';
import type { BoundScore } from '../score-bound.ts';
import type { ClipScore } from '../score-clip.ts';
import type { SceneResult } from './score-worker.ts';

/** One column of the table: a figure or two, from all clips that a row counts. */
export interface Column {
  title: string;
  decimals: number;
  /** The figure, or the median and the 95th percentile. */
  of: (results: readonly SceneResult[]) => readonly number[];
  /** Whether more is better; less is, by default. */
  moreIsBetter?: boolean;
}

/** Scores of the clips in which the right disc was followed: a wrong one is counted, and measured no further. */
const scores = (results: readonly SceneResult[]): ClipScore[] =>
  results.flatMap(({ score }) => (score && !score.wrong ? [score] : []));

type Values = (score: ClipScore) => number | readonly number[];
const pooled = (results: readonly SceneResult[], of: Values): number[] =>
  scores(results)
    .flatMap((s) => of(s))
    .map(Math.abs)
    .filter(Number.isFinite);

const middle = (title: string, decimals: number, of: Values): Column => ({
  title,
  decimals,
  of: (results) => [median(pooled(results, of)) ?? NaN],
});
/** Median and 95th percentile over the clips, or over their reps. */
const both = (title: string, decimals: number, of: Values): Column => ({
  title,
  decimals,
  of: (results) => {
    const values = pooled(results, of);
    return [median(values) ?? NaN, quantile(values, 0.95) ?? NaN];
  },
});
const shareOf = (title: string, decimals: number, part: Values, whole: Values): Column => ({
  title,
  decimals,
  of: (results) => [(100 * sum(pooled(results, part))) / sum(pooled(results, whole))],
});
const count = (title: string, of: (results: readonly SceneResult[]) => number): Column => ({
  title,
  decimals: 0,
  of: (results) => [of(results)],
});

/** Share of all clips, percent. */
const clips = (title: string, holds: (r: SceneResult) => boolean, moreIsBetter = false): Column => ({
  title,
  decimals: 0,
  of: (results) => [(100 * results.filter(holds).length) / results.length],
  moreIsBetter,
});

export const followingColumns: readonly Column[] = [
  count('clips', (r) => r.length),
  clips('found %', (r) => r.score !== null && !r.score.wrong, true),
  // Wrong and said to be sure; where a person is asked, nothing wrong was claimed.
  clips('wrong %', (r) => (r.score?.wrong ?? false) && !r.score?.asked),
  clips('wrong, asked %', (r) => (r.score?.wrong ?? false) && (r.score?.asked ?? false)),
  clips('right, asked %', (r) => (r.score?.asked ?? false) && !r.score?.wrong),
  count('reps missed', (r) => sum(pooled(r, (s) => s.repsMissed))),
  count('extra', (r) => sum(pooled(r, (s) => s.repsExtra))),
  both('path RMS mm', 2, (s) => s.rmsMm),
  both('of it by following', 2, (s) => s.shapeMm),
  middle('path p95 mm', 1, (s) => s.p95Mm),
  { title: 'worst mm', decimals: 0, of: (r) => [max(pooled(r, (s) => s.worstMm)) ?? NaN] },
  both('from start mm', 1, (s) => s.fromStartMm),
  both('scale %', 2, (s) => s.scalePct),
  shareOf(
    'bridged %',
    1,
    (s) => s.bridged,
    (s) => s.frames,
  ),
  shareOf(
    'lost %',
    1,
    (s) => s.lost,
    (s) => s.frames,
  ),
  shareOf(
    'seen > 10 mm off %',
    2,
    (s) => s.seenWrong,
    (s) => s.seen,
  ),
  both('error/stated', 1, (s) => s.normalised),
];

export const velocityColumns: readonly Column[] = [
  both('mean v %', 2, (s) => s.meanDrivePct),
  both('scale divided out %', 2, (s) => s.meanDriveScaledPct),
  both('its bound', 2, (s) => s.bound.meanDrivePct),
  both('peak v %', 2, (s) => s.peakDrivePct),
  both('scale divided out %', 2, (s) => s.peakDriveScaledPct),
  both('its bound', 2, (s) => s.bound.peakDrivePct),
  both('slowest m/s', 3, (s) => s.slowestMps),
  both('its bound', 3, (s) => s.bound.slowestMps),
  both('sticking m/s', 3, (s) => s.stickingMps),
  count('sticking wrong', (r) => sum(pooled(r, (s) => s.stickingWrong))),
];

/** Errors of an event in milliseconds, and as shares of what is allowed in the median and at the 95th percentile. */
const event = (name: string, of: (s: BoundScore) => number[]): Column[] => [
  both(`${name} ms`, 0, of),
  both('its bound', 0, (s) => of(s.bound)),
  {
    title: 'of limit',
    decimals: 1,
    of: (results) => [
      median(pooled(results, (s) => of(s).map((ms) => ms / Math.max(10, s.frameMs / 2)))) ?? NaN,
      quantile(
        pooled(results, (s) => of(s).map((ms) => ms / Math.max(30, 1.5 * s.frameMs))),
        0.95,
      ) ?? NaN,
    ],
  },
];

export const eventColumns: readonly Column[] = [
  ...event('start', (s) => s.startMs),
  ...event('bottom', (s) => s.bottomMs),
  ...event('drive start', (s) => s.driveStartMs),
  ...event('lockout', (s) => s.lockoutMs),
];

/** Errors that a good verdict rules out and that a refusal needs, half the difference worth acting on: common practice. */
const driftOffMm = 10;
const velocityOffPct = 3;
const worstOf = (values: readonly number[]): number => max(values) ?? NaN;

/** What is smeared or shaken by less than `least` pixels is too little for a ratio to say anything. */
const ratio = (shown: number | null, real: number, least = 0.5): number =>
  shown === null || real < least ? NaN : shown / real;

export const checkColumns: readonly Column[] = [
  both('off square °', 1, (s) => s.offSquareDeg),
  both('roll, uprights seen °', 2, (s) => (s.plumb === 'none' ? NaN : s.rollDeg)),
  {
    title: 'bias °',
    decimals: 2,
    of: (r) => [
      median(
        scores(r).filter((s) => s.plumb !== 'none'),
        (s) => s.rollDeg,
      ) ?? NaN,
    ],
  },
  both('roll, none seen °', 2, (s) => (s.plumb === 'none' ? s.rollDeg : NaN)),
  middle('shake shown/true', 2, (s) => ratio(s.shakePx.shown, s.shakePx.real)),
  middle('blur shown/true', 2, (s) => ratio(s.blurPx.shown, s.blurPx.real, 3)),
  both('blur off px', 1, (s) => (s.blurPx.shown === null ? NaN : s.blurPx.shown - s.blurPx.real)),
  count(
    'drift good yet off',
    (r) => scores(r).filter((s) => s.verdicts.drift === 'good' && s.fromStartMm > driftOffMm).length,
  ),
  count(
    'refused yet fine',
    (r) => scores(r).filter((s) => s.verdicts.drift === 'cannot carry' && s.fromStartMm < driftOffMm).length,
  ),
  count(
    'velocity good yet off',
    (r) =>
      scores(r).filter((s) => s.verdicts.velocity === 'good' && worstOf(s.meanDrivePct) > velocityOffPct)
        .length,
  ),
  count(
    'refused yet fine',
    (r) =>
      scores(r).filter(
        (s) => s.verdicts.velocity === 'cannot carry' && worstOf(s.meanDrivePct) < velocityOffPct,
      ).length,
  ),
];
