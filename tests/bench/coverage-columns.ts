import { measureInfo, type MeasureName } from '../../shared-lib/contract/measures.ts';
import { binomial, calledOf, type Tally, type Trial } from '../unit/pair/trials.ts';

export const percent = (share: number): string => `${(100 * share).toFixed(1)}`;
const scaled = (name: MeasureName, value: number): string => {
  const { unit } = measureInfo[name];
  const factor = unit === 'm' ? 1000 : unit === 'rad' ? 180 / Math.PI : 1;
  return (value * factor).toFixed(unit === 'm' || unit === '%' || unit === 'rad' ? 1 : 3);
};

/**
 * Measures whose intervals hold the truth more often than their share, and must: c, counts, whose intervals end at whole
 * numbers; o, what is nothing in most reps, whose intervals end at nothing and hold it; p, places of extremes, one of a few
 * candidates that lie apart.
 */
const kinds: Partial<Record<MeasureName, 'c' | 'o' | 'p'>> = {
  hesitations: 'c',
  stops: 'c',
  heave_m: 'o',
  fall_m: 'o',
  longest_stop_s: 'o',
  slowest_height_pct: 'p',
  sticking_height_pct: 'p',
  sticking_s: 'p',
  peak_descent_height_m: 'p',
};
const leastShare = 0.92;
const mostShare = 0.98;

export const legend = [
  '!: outside 92 to 98 %, +: in doubt, outside but not by two standard errors of 95 %. Above 98 % for a reason:',
  'c a count, o nothing in most reps, p the place of an extreme, one of a few candidates.',
].join(' ');

function markOf(name: MeasureName, share: number, n: number): string {
  const kind = kinds[name];
  if (share > mostShare && kind) return kind;
  if (share >= leastShare && share <= mostShare) return ' ';
  return Math.abs(share - 0.95) <= 2 * binomial(0.95, n) ? '+' : '!';
}

/** How often they hold it, in short: share, two standard errors, half width and error. */
export function shareColumns(name: MeasureName, t: Tally): string {
  if (t.n === 0) return '-'.padStart(6);
  const p = t.held / t.n;
  return `${percent(p).padStart(6)}${markOf(name, p, t.n)} ±${(200 * binomial(0.95, t.n)).toFixed(1)} u ${scaled(name, t.u95)} rms ${scaled(name, t.rms)}`;
}

/** How often intervals of a measure hold the truth, as columns of text; lengths in mm, angles in degrees. */
export function coverageColumns(name: MeasureName, t: Tally): string {
  if (t.n === 0) return '-'.padStart(6);
  const p = t.held / t.n;
  return [
    percent(p).padStart(6) + markOf(name, p, t.n),
    `±${(200 * binomial(0.95, t.n)).toFixed(1)}`,
    `<${t.below}`.padStart(4),
    `>${t.n - t.held - t.below}`.padStart(4),
    `u ${scaled(name, t.u95)}`.padStart(8),
    `rms ${scaled(name, t.rms)}`.padStart(10),
    `bias ${scaled(name, t.bias)}`.padStart(11),
    `n ${t.n}`.padStart(6),
    `-${t.missed} +${t.invented}`,
  ].join(' ');
}

/** How often each headline measure of these trials is `cannot tell`, as one line. */
export function cannotTellColumns(names: readonly MeasureName[], trials: readonly Trial[]): string {
  return names
    .map((name) => [name, calledOf(trials, name, 'cannot tell')] as const)
    .filter(([, share]) => !Number.isNaN(share))
    .map(([name, share]) => `${name} ${percent(share)} %`)
    .join(', ');
}
