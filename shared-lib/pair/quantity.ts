import type { MeasureInfo } from '../contract/measures.ts';

type Unit = MeasureInfo['unit'];

/** How a unit is shown: shown = SI * factor. Decimals suit the uncertainties that clips reach. */
const shown: Record<Unit, { factor: number; decimals: number; suffix: string }> = {
  m: { factor: 100, decimals: 1, suffix: ' cm' },
  s: { factor: 1, decimals: 2, suffix: ' s' },
  'm/s': { factor: 1, decimals: 2, suffix: ' m/s' },
  '%': { factor: 1, decimals: 0, suffix: ' %' },
  rad: { factor: 180 / Math.PI, decimals: 1, suffix: '°' },
  '1': { factor: 1, decimals: 0, suffix: '' },
};

/** The size of a quantity in words: no sign, with its unit: `4.4 cm`. */
export function sizeText(value: number, unit: Unit): string {
  const { factor, decimals, suffix } = shown[unit];
  return `${(Math.abs(value) * factor).toFixed(decimals)}${suffix}`;
}

/** A 95 % half width in words without its unit, never rounded to nothing: `± 0.8`. */
export function spreadText(u95: number, unit: Unit): string {
  const { factor, decimals } = shown[unit];
  return `± ${Math.max(u95 * factor, 10 ** -decimals).toFixed(decimals)}`;
}

/** Whether a quantity's size would be shown as zero. */
export function showsAsZero(value: number, unit: Unit): boolean {
  const { factor, decimals } = shown[unit];
  return Number((Math.abs(value) * factor).toFixed(decimals)) === 0;
}
