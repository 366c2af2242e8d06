import { format } from 'd3-format';
import { texts } from '../texts/texts.ts';

/** How an SI quantity is shown. Decimals are bounds: no finer than anybody reads off a bar. */
export interface ShownUnit {
  /** With the space that goes before it. */
  suffix: string;
  perSi: number;
  usualDecimals: number;
  mostDecimals: number;
}

const nbsp = '\u00a0';
const shownUnits = {
  cm: { suffix: `${nbsp}cm`, perSi: 100, usualDecimals: 1, mostDecimals: 1 },
  mm: { suffix: `${nbsp}mm`, perSi: 1000, usualDecimals: 0, mostDecimals: 1 },
  s: { suffix: `${nbsp}s`, perSi: 1, usualDecimals: 2, mostDecimals: 2 },
  mps: { suffix: `${nbsp}m/s`, perSi: 1, usualDecimals: 2, mostDecimals: 2 },
  degrees: { suffix: '°', perSi: 180 / Math.PI, usualDecimals: 1, mostDecimals: 1 },
  percent: { suffix: `${nbsp}%`, perSi: 1, usualDecimals: 0, mostDecimals: 1 },
  kg: { suffix: `${nbsp}kg`, perSi: 1, usualDecimals: 1, mostDecimals: 2 },
  count: { suffix: '', perSi: 1, usualDecimals: 0, mostDecimals: 0 },
} satisfies Record<string, ShownUnit>;

/** Lengths of a few millimetres: shown in mm, where the others are in cm. */
const inMillimetres = new Set(['sink_m', 'heave_m', 'fall_m', 'sag_m', 'setup_sway_m', 'hold_sway_m']);

/** The shown unit of a measure, from its name and its SI unit; an unknown unit is shown as it is. */
export function shownUnit(name: string, siUnit: string): ShownUnit {
  switch (siUnit) {
    case 'm':
      return inMillimetres.has(name) ? shownUnits.mm : shownUnits.cm;
    case 's':
      return shownUnits.s;
    case 'm/s':
      return shownUnits.mps;
    case 'rad':
      return shownUnits.degrees;
    case '%':
      return shownUnits.percent;
    case 'kg':
      return shownUnits.kg;
    case '1':
      return shownUnits.count;
    default:
      return { suffix: `${nbsp}${siUnit}`, perSi: 1, usualDecimals: 2, mostDecimals: 3 };
  }
}

/**
 * Decimals that an uncertainty supports: at most two significant digits of it (JCGM 100:2008, 7.2.6), two
 * where its leading digits are below 3.55 and one above (Particle Data Group, Review of Particle Physics,
 * 5.3). `u` is in shown units.
 */
export function decimalsFor(u: number, unit: ShownUnit): number {
  if (!Number.isFinite(u) || u <= 0) return unit.usualDecimals;
  const exponent = Math.floor(Math.log10(u));
  const leading = Math.round((u / 10 ** exponent) * 100);
  const digits = leading < 355 || leading >= 950 ? 2 : 1;
  const decimals = digits - 1 - (leading >= 950 ? exponent + 1 : exponent);
  return Math.min(unit.mostDecimals, Math.max(0, decimals));
}

/** An SI value and the 95 % half width that decides its digits, ready to be put into words. */
export class Quantity {
  readonly decimals: number;
  constructor(
    readonly unit: ShownUnit,
    u95: number | null,
  ) {
    this.decimals = u95 === null ? unit.usualDecimals : decimalsFor(u95 * unit.perSi, unit);
  }
  /** In shown units, rounded as it will be shown, so that words and digits never disagree. */
  rounded(si: number): number {
    return Number((si * this.unit.perSi).toFixed(this.decimals)) + 0;
  }
  /** "± 0.8", the 95 % half width that goes with the value, never rounded to nothing; `withUnit`: "± 0.8 cm" */
  spread(u95: number, withUnit = false): string {
    const least = 10 ** -this.decimals;
    const shown = this.digits(Math.max(u95 * this.unit.perSi, least));
    return `±${nbsp}${shown}${withUnit ? this.unit.suffix : ''}`;
  }
  private digits(value: number): string {
    return format(`.${this.decimals}f`)(value);
  }
  /** "38.2 cm" */
  plain(si: number): string {
    return this.digits(this.rounded(si)) + this.unit.suffix;
  }
  /** "+1.8 cm", "0.0 cm" */
  signed(si: number): string {
    return this.sign(si) + this.plain(si);
  }
  /** "1.8 cm", whatever the sign */
  size(si: number): string {
    return this.digits(Math.abs(this.rounded(si))) + this.unit.suffix;
  }
  /** "−0.3 to 2.0 cm", of values rather than of changes */
  span(loSi: number, hiSi: number): string {
    return texts.measures.range(this.digits(this.rounded(loSi)), this.plain(hiSi));
  }
  /** "−0.06 to +0.02 m/s" */
  interval(loSi: number, hiSi: number): string {
    return texts.measures.range(this.sign(loSi) + this.digits(this.rounded(loSi)), this.signed(hiSi));
  }
  /** "0.4 to 2.0 cm", sizes only, the smaller first */
  sizes(aSi: number, bSi: number): string {
    const [small, large] = [aSi, bSi].sort((a, b) => Math.abs(a) - Math.abs(b));
    return texts.measures.range(this.digits(Math.abs(this.rounded(small))), this.size(large));
  }
  private sign(si: number): string {
    return this.rounded(si) > 0 ? '+' : '';
  }
}

/** A load: "102.5 kg", "100 kg". */
export function load(kg: number): string {
  return `${format('.2~f')(kg)}${nbsp}kg`;
}

/** A share from 0 to 1: "3 %". */
export const percent = (share: number): string => `${format('.0f')(share * 100)}${nbsp}%`;
