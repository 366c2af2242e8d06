import { measureNames, type MeasureName } from '../contract/measures.ts';
import { stream } from '../motion/random.ts';
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

/** Draws come in quarters with a stream of random numbers each: whoever draws which, together they are the same. */
export const quarters = [0, 1, 2, 3] as const;
export type Quarter = (typeof quarters)[number];

/**
 * Draws both reps together, sharing what they share. A draw in which either has no rep counts for neither.
 *
 * @param which the quarters that are drawn; in the others the tables hold NaN
 */
export function drawBoth(
  models: Both<RepModel>,
  shared: Shared,
  options: DrawOptions,
  which: readonly Quarter[] = quarters,
): Both<DrawTable> {
  const { draws = defaultDraws, seed = defaultSeed, onProgress } = options;
  const tables = [emptyDraws(draws), emptyDraws(draws)] as const;
  let done = 0;
  for (const quarter of which) {
    const random = stream(seed, `quarter ${quarter}`);
    const end = Math.floor(((quarter + 1) * draws) / quarters.length);
    for (let k = Math.floor((quarter * draws) / quarters.length); k < end; k++) {
      if (done % progressStep === 0) onProgress?.((done * quarters.length) / (draws * which.length));
      done++;
      const sources = drawPairSources(models[0].sources, models[1].sources, shared, random);
      const a = drawRep(models[0], sources[0], random);
      const b = drawRep(models[1], sources[1], random);
      if (!a || !b) continue;
      for (const name of measureNames) {
        tables[0][name][k] = a[name] ?? NaN;
        tables[1][name][k] = b[name] ?? NaN;
      }
    }
  }
  return tables;
}

/** Tables of which each holds the quarters that the other lacks, as one. */
export const together = (some: Both<DrawTable>, rest: Both<DrawTable>): Both<DrawTable> => {
  const joined = (i: 0 | 1): DrawTable => {
    const table = {} as DrawTable;
    for (const name of measureNames)
      table[name] = some[i][name].map((value, k) => (Number.isNaN(value) ? rest[i][name][k] : value));
    return table;
  };
  return [joined(0), joined(1)];
};

/** The difference of one measure, today minus reference. */
export function differenceOf(name: MeasureName, models: Both<RepModel>, tables: Both<DrawTable>): Difference {
  const [reference, today] = models.map((model) => model.values[name]);
  const draws = tables[1][name].map((value, k) => value - tables[0][name][k]);
  const value = reference === null || today === null ? null : today - reference;
  return { reference, today, estimate: withInterval(value, draws), draws };
}
