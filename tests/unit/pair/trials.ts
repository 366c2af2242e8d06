import type { Lift } from '../../../shared-lib/contract/lift.ts';
import type { MeasureName, MeasureValues } from '../../../shared-lib/contract/measures.ts';
import type { Call } from '../../../shared-lib/contract/pair.ts';
import { seededRandom } from '../../../shared-lib/motion/random.ts';
import { comparePair } from '../../../shared-lib/pair/changes.ts';
import type { Shared } from '../../../shared-lib/pair/sources.ts';
import { measureWithUncertainty } from '../../../shared-lib/pair/uncertainty.ts';
import { filmPair, reps, trueValues, type Filming, type Rep } from './simulate.ts';

export const filming: Filming = { fps: 60, noiseM: 0.0003, cutoffHz: 6 };

/** One comparison of simulated reps: what was said of each headline measure and what was true. */
export interface Trial {
  headline: { name: MeasureName; call: Call; truth: number; change: number; lo95: number; hi95: number }[];
}

/** Films and compares `n` pairs whose true difference is `planted`. */
export function comparePairs(
  lift: Lift,
  planted: Partial<Rep>,
  shared: Shared,
  { n, draws, seed }: { n: number; draws: number; seed: number },
): Trial[] {
  const random = seededRandom(seed);
  const today = { ...reps[lift], ...planted };
  const truth = difference(trueValues(reps[lift]), trueValues(today));
  return Array.from({ length: n }, (_, k) => {
    const [a, b] = filmPair(reps[lift], today, shared, filming, random);
    const options = { draws, seed: seed + k, sameCamera: shared.camera, sameDisc: shared.disc };
    const { changes } = comparePair(a, b, options);
    const headline = changes.flatMap((c) => {
      const name = c.name as MeasureName;
      const { call, change, lo95, hi95 } = c;
      if (call === null || change === null || lo95 === null || hi95 === null) return [];
      return [{ name, call, truth: truth[name], change, lo95, hi95 }];
    });
    return { headline };
  });
}

function difference(reference: MeasureValues, today: MeasureValues): Record<MeasureName, number> {
  const names = Object.keys(reference) as MeasureName[];
  return Object.fromEntries(
    names.map((name) => [name, (today[name] ?? NaN) - (reference[name] ?? NaN)]),
  ) as Record<MeasureName, number>;
}

const holds = (i: { lo95: number; hi95: number }, truth: number) => i.lo95 <= truth && truth <= i.hi95;

/** Share of trials in which every headline interval holds its truth. */
export const heldTogether = (trials: readonly Trial[]): number =>
  trials.filter((t) => t.headline.every((h) => holds(h, h.truth))).length / trials.length;

/** Share of single headline intervals that hold their truth. */
export function held(trials: readonly Trial[]): number {
  const all = trials.flatMap((t) => t.headline);
  return all.filter((h) => holds(h, h.truth)).length / all.length;
}

/** Share of trials in which any headline measure is called `differs`. */
export const anyDiffers = (trials: readonly Trial[]): number =>
  trials.filter((t) => t.headline.some((h) => h.call === 'differs')).length / trials.length;

/** Share of trials in which a measure is called `differs`. */
export const differs = (trials: readonly Trial[], name: MeasureName): number =>
  trials.filter((t) => t.headline.some((h) => h.name === name && h.call === 'differs')).length /
  trials.length;

/** Three standard deviations of a share `p` over `n` trials. */
export const binomial3 = (p: number, n: number): number => 3 * Math.sqrt((p * (1 - p)) / n);

/** How often single-rep intervals hold the truth, by measure, over `n` clips. */
export function singleCoverage(
  lift: Lift,
  names: readonly MeasureName[],
  { n, draws, seed }: { n: number; draws: number; seed: number },
): Map<MeasureName, number> {
  const random = seededRandom(seed);
  const truth = trueValues(reps[lift]);
  const hits = new Map(names.map((name) => [name, 0]));
  const apart = { camera: false, disc: false };
  for (let k = 0; k < n; k++) {
    const [clip] = filmPair(reps[lift], reps[lift], apart, filming, random);
    const measures = measureWithUncertainty(clip, 0, { draws, seed: seed + k });
    for (const name of names) {
      const m = measures[name];
      if (m && holds(m, truth[name]!)) hits.set(name, hits.get(name)! + 1);
    }
  }
  return new Map([...hits].map(([name, count]) => [name, count / n]));
}
