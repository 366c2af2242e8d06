import { parseArgs } from 'node:util';
import type { Lift } from '../../shared-lib/contract/lift.ts';
import { headlineSlots, measureNames, type MeasureName } from '../../shared-lib/contract/measures.ts';
import {
  anyDiffers,
  binomial,
  called,
  found,
  heldTogether,
  runTrials,
  tallyChanges,
  tallySingles,
  type Trial,
} from '../unit/pair/trials.ts';
import { coverageColumns, percent } from './coverage-columns.ts';

/**
 * Prints how often stated intervals hold the truth and how often calls are right, over many simulated pairs: the longer
 * version of the test in tests/unit/pair.
 */
const { values } = parseArgs({
  options: {
    pairs: { type: 'string', default: '1000' },
    draws: { type: 'string', default: '200' },
    seed: { type: 'string', default: '1' },
    lift: { type: 'string' },
  },
});
const pairs = Number(values.pairs);
const draws = Number(values.draws);
const lifts = (['squat', 'bench', 'deadlift'] as const).filter((l) => !values.lift || l === values.lift);

const headlineMeasures = (lift: Lift): MeasureName[] =>
  headlineSlots[lift].filter((slot): slot is MeasureName => measureNames.includes(slot as MeasureName));

/** A quarter of the pairs each: unchanged and changed, good clips with an unmoved camera and ordinary clips. */
const each = Math.ceil(pairs / (4 * lifts.length));
const runs = lifts.flatMap((lift, i) =>
  [true, false].flatMap((good) =>
    [false, true].map((changes) => {
      const plan = {
        lift,
        good,
        sameCamera: good,
        ...(changes ? { change: headlineMeasures(lift) } : {}),
      };
      const seed = 1e5 * Number(values.seed) + 1e4 * i + (good ? 1e3 : 0) + (changes ? 5e3 : 0);
      return { good, changes, trials: runTrials(plan, { n: each, draws, seed }) };
    }),
  ),
);
const all = runs.flatMap((r) => r.trials);
const write = (line: string): void => void process.stdout.write(`${line}\n`);
write(`${all.length} pairs, ${draws} draws. Lengths in mm, angles in degrees. !: outside 92 to 98 %.`);
write('measure                 one rep | change');
for (const name of measureNames) {
  write(
    `${name.padEnd(22)} ${coverageColumns(name, tallySingles(all, name)).padEnd(70)} | ${coverageColumns(name, tallyChanges(all, name))}`,
  );
}
const of = (good: boolean, changes: boolean): Trial[] =>
  runs.filter((r) => r.good === good && r.changes === changes).flatMap((r) => r.trials);
for (const good of [true, false]) {
  const none = of(good, false);
  const some = of(good, true);
  write(
    `${good ? 'good clips, unmoved camera' : 'ordinary clips, cameras apart'}: all headline intervals hold ${percent(heldTogether([...none, ...some]))} %; ` +
      `any false differs ${percent(anyDiffers(none))} % ± ${(200 * binomial(0.05, none.length)).toFixed(1)}; ` +
      `unchanged: cannot tell ${percent(called(none, 'cannot tell'))} %, no clear change ${percent(called(none, 'no clear change'))} %`,
  );
  for (const lift of lifts) {
    const ofLift = some.filter((t) => t.lift === lift);
    write(
      `  ${lift}: 1.5 delta found ${headlineMeasures(lift)
        .map(
          (name) =>
            `${name} ${percent(found(ofLift, name))} % of ${ofLift.filter((t) => t.changed === name).length}`,
        )
        .join(', ')}`,
    );
  }
}
