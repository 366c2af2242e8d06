import { measureNames, type MeasureName } from '../contract/measures.ts';
import { seededRandom } from '../motion/random.ts';
import { drawRep, emptyDraws, type DrawTable, type RepModel } from './rep-model.ts';
import { drawPairSources, type Shared } from './sources.ts';
import {
  defaultDraws,
  defaultSeed,
  progressStep,
  withInterval,
  type DrawOptions,
  type Estimate,
} from './uncertainty.ts';

export type Both<T> = readonly [reference: T, today: T];

/** A measure in both reps, and their difference where it is defined. */
export interface Difference {
  reference: number | null;
  today: number | null;
  estimate: Estimate | null;
  /** Today minus reference in each draw, NaN where undefined. */
  draws: Float64Array;
}

/** Draws both reps together, sharing what they share. A draw in which either has no rep counts for neither. */
export function drawBoth(models: Both<RepModel>, shared: Shared, options: DrawOptions): Both<DrawTable> {
  const { draws = defaultDraws, seed = defaultSeed, onProgress } = options;
  const random = seededRandom(seed);
  const tables = [emptyDraws(draws), emptyDraws(draws)] as const;
  for (let k = 0; k < draws; k++) {
    if (k % progressStep === 0) onProgress?.(k / draws);
    const sources = drawPairSources(models[0].sources, models[1].sources, shared, random);
    const a = drawRep(models[0], sources[0], random);
    const b = drawRep(models[1], sources[1], random);
    if (!a || !b) continue;
    for (const name of measureNames) {
      tables[0][name][k] = a[name] ?? NaN;
      tables[1][name][k] = b[name] ?? NaN;
    }
  }
  return tables;
}

/** The difference of one measure, today minus reference. */
export function differenceOf(name: MeasureName, models: Both<RepModel>, tables: Both<DrawTable>): Difference {
  const [reference, today] = models.map((model) => model.values[name]);
  const draws = tables[1][name].map((value, k) => value - tables[0][name][k]);
  const value = reference === null || today === null ? null : today - reference;
  return { reference, today, estimate: withInterval(value, draws), draws };
}
