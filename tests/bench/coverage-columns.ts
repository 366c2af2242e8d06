import { measureInfo, type MeasureName } from '../../shared-lib/contract/measures.ts';
import { binomial, type Tally } from '../unit/pair/trials.ts';

export const percent = (share: number): string => `${(100 * share).toFixed(1)}`;
const scaled = (name: MeasureName, value: number): string => {
  const { unit } = measureInfo[name];
  const factor = unit === 'm' ? 1000 : unit === 'rad' ? 180 / Math.PI : 1;
  return (value * factor).toFixed(unit === 'm' || unit === '%' || unit === 'rad' ? 1 : 3);
};

/** How often intervals of a measure hold the truth, as columns of text; lengths in mm, angles in degrees. */
export function coverageColumns(name: MeasureName, t: Tally): string {
  if (t.n === 0) return '-'.padStart(6);
  const p = t.held / t.n;
  const off = p < 0.92 || p > 0.98 ? '!' : ' ';
  return [
    percent(p).padStart(6) + off,
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
