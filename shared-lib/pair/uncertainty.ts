import { measureInfo, measureNames, type MeasureName } from '../contract/measures.ts';
import type { Measure } from '../contract/rep.ts';
import { seededRandom } from '../motion/random.ts';
import type { MeasuredClip } from './measured-clip.ts';
import { summarize } from './monte-carlo.ts';
import { drawRep, emptyDraws, modelRep, type DrawTable, type RepModel } from './rep-model.ts';
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
    for (const name of measureNames) table[name][k] = drawn[name] ?? NaN;
  }
  return measuresOf(model, table);
}

/** The measures of a drawn rep with their 95 % intervals. */
export function measuresOf(model: RepModel, table: DrawTable): Record<MeasureName, Measure | null> {
  const out = {} as Record<MeasureName, Measure | null>;
  for (const name of measureNames) {
    const measured = withInterval(model.values[name], table[name]);
    out[name] = measured && measureOf(measured, measureInfo[name].unit);
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
