import { measureInfo, measureNames, type MeasureName } from '../contract/measures.ts';
import type { Measure } from '../contract/rep.ts';
import { seededRandom } from '../motion/random.ts';
import type { MeasuredClip } from './measured-clip.ts';
import { summarize } from './monte-carlo.ts';
import { drawRep, emptyDraws, modelRep } from './rep-model.ts';
import { drawSources } from './sources.ts';

export interface DrawOptions {
  /** Number of Monte Carlo draws; 1000 by default, which puts the interval's ends within about 5 % of its width. */
  draws?: number;
  /** Fixed by default, so that the same clip gives the same figures. */
  seed?: number;
  /** Told the share done, 0 to 1, now and then; what it throws stops the work. */
  onProgress?: (share: number) => void;
}

export const defaultDraws = 1000;
export const defaultSeed = 1;

/** Progress is told this many draws apart. */
export const progressStep = 25;

/** A value with its 95 % interval, which contains the value, and the median of its draws. */
export interface Estimate {
  value: number;
  lo95: number;
  hi95: number;
  median: number;
}

/**
 * A value with the 95 % interval of its draws. Null where the value is undefined or more than half of the draws leave it
 * undefined. The interval always contains the value: where the draws lie to one side of it, as they do when a known
 * effect (row read-out) pulls all one way, the interval is widened to reach the value and never shifted.
 */
export function withInterval(value: number | null, draws: Float64Array): Estimate | null {
  if (value === null || !Number.isFinite(value)) return null;
  const summary = summarize(draws);
  if (!summary || summary.count < draws.length / 2) return null;
  const { lo95, hi95, median } = summary;
  return widened({ value, lo95, hi95, median });
}

/** An interval widened to contain the value. */
export const widened = (of: Estimate): Estimate => ({
  ...of,
  lo95: Math.min(of.lo95, of.value),
  hi95: Math.max(of.hi95, of.value),
});

/** Ranges and falls of a bar that hardly moves: noise only ever adds to them, to the value and again to its draws. */
const readHigh: ReadonlySet<MeasureName> = new Set<MeasureName>([
  'sink_m',
  'heave_m',
  'fall_m',
  'setup_sway_m',
  'sag_m',
  'hold_sway_m',
]);

/**
 * Allows for what noise adds to ranges and falls. The value holds the noise that the smoother lets through, a draw the same
 * again: root two times as much. So the draws lie above the value by (root two - 1) of what the value is too high, and
 * that is 1 / (root two - 1) = 1 + root two times their distance. The interval reaches that much further: of a measure
 * downward, as far as zero; of a difference, in which either rep may hold more noise, both ways.
 */
export function allowingForNoise(name: MeasureName, of: Estimate, kind: 'measure' | 'difference'): Estimate {
  if (!readHigh.has(name)) return of;
  const { value, median } = of;
  const arm = Math.max(of.hi95 - value, value - of.lo95);
  const reach = arm + Math.SQRT2 * Math.abs(median - value);
  return kind === 'measure'
    ? { value, median, lo95: Math.max(0, value - reach), hi95: value + arm }
    : { value, median, lo95: value - reach, hi95: value + reach };
}

/**
 * Every measure of one rep with its 95 % interval, by Monte Carlo (JCGM 101:2008): sources and whole traces are drawn, the
 * events found again and the measures taken again.
 *
 * @param repIndex from 0
 * @throws Failure (usage) where the clip has no such rep
 */
export function measureWithUncertainty(
  clip: MeasuredClip,
  repIndex: number,
  { draws = defaultDraws, seed = defaultSeed, onProgress }: DrawOptions = {},
): Record<MeasureName, Measure | null> {
  const model = modelRep(clip, repIndex);
  const random = seededRandom(seed);
  const table = emptyDraws(draws);
  for (let k = 0; k < draws; k++) {
    if (k % progressStep === 0) onProgress?.(k / draws);
    const drawn = drawRep(model, drawSources(model.sources, random), random);
    if (!drawn) continue;
    for (const name of measureNames) table[name][k] = drawn.values[name] ?? NaN;
  }
  const out = {} as Record<MeasureName, Measure | null>;
  for (const name of measureNames) {
    const measured = withInterval(model.values[name], table[name]);
    out[name] = measured && measureOf(allowingForNoise(name, measured, 'measure'), measureInfo[name].unit);
  }
  return out;
}

const measureOf = ({ value, lo95, hi95 }: Estimate, unit: string): Measure => ({
  value,
  lo95,
  hi95,
  u95: (hi95 - lo95) / 2,
  unit,
});
