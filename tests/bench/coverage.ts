import { tmpdir } from 'node:os';
import path from 'node:path';
import { parseArgs } from 'node:util';
import { loadKernelsOnce } from '../../electron/tracing/load-kernels.ts';
import { headlineMeasures, measureNames } from '../../shared-lib/contract/measures.ts';
import {
  anyDiffers,
  binomial,
  called,
  found,
  heldTogether,
  runTrial,
  tallyChanges,
  tallySingles,
  type Trial,
  type TrialPlan,
} from '../unit/pair/trials.ts';
import { usualTrial } from '../unit/pair/usual-lifter.ts';
import { cannotTellColumns, coverageColumns, legend, percent } from './coverage-columns.ts';
import { keptResults } from './kept-results.ts';

/**
 * Prints how often stated intervals hold the truth and how often calls are right, over many simulated pairs: the longer
 * version of the test in tests/unit/pair. Each pair is kept in --file; --resume goes on where a run was stopped.
 */
const { values } = parseArgs({
  options: {
    pairs: { type: 'string', default: '1000' },
    draws: { type: 'string', default: '200' },
    seed: { type: 'string', default: '1' },
    file: { type: 'string', default: path.join(tmpdir(), 'lockstep-coverage.jsonl') },
    resume: { type: 'boolean', default: false },
    /** Lifters who have not changed, with six usual reps each; none where omitted. */
    usual: { type: 'string', default: '0' },
    /** Seconds for which something stands before each disc. */
    hidden: { type: 'string', default: '0' },
    /** Stops after so many minutes; the table is of what is there. */
    minutes: { type: 'string', default: 'Infinity' },
  },
});
const lifts = ['squat', 'bench', 'deadlift'] as const;

/** A quarter of the pairs each: unchanged and changed, good clips with an unmoved camera and ordinary clips. */
const plans = lifts.flatMap((lift) =>
  [true, false].flatMap((good) =>
    [false, true].map((changes): TrialPlan => ({
      lift,
      good,
      sameCamera: good,
      hiddenForS: Number(values.hidden),
      ...(changes ? { change: headlineMeasures(lift) } : {}),
    })),
  ),
);

loadKernelsOnce();
const kept = await keptResults<Trial | null>(values.file, values.resume);
const trials = (): Trial[] => [...kept.all.values()].filter((t) => t !== null);
const untilMs = Date.now() + 60_000 * Number(values.minutes);
for (let i = 0; trials().length < Number(values.pairs) && Date.now() < untilMs; i++) {
  if (kept.all.has(i)) continue;
  const k = Math.floor(i / plans.length);
  const seed = 1e6 * Number(values.seed) + i;
  await kept.add(i, runTrial(plans[i % plans.length], k, Number(values.draws), seed));
}

const all = trials();
const write = (line: string): void => void process.stdout.write(`${line}\n`);
function printPairs(): void {
  write(`${all.length} pairs, ${values.draws} draws. Lengths in mm, angles in degrees. ${legend}`);
  write('measure                 one rep | change');
  for (const name of measureNames) {
    write(
      `${name.padEnd(22)} ${coverageColumns(name, tallySingles(all, name)).padEnd(70)} | ${coverageColumns(name, tallyChanges(all, name))}`,
    );
  }
  for (const good of [true, false]) {
    const these = all.filter((t) => t.good === good);
    const none = these.filter((t) => t.changed === null);
    write(
      `${good ? 'good clips, unmoved camera' : 'ordinary clips, cameras apart'}: all headline intervals hold ${percent(heldTogether(these))} %; ` +
        `any false differs ${percent(anyDiffers(none))} % ± ${(200 * binomial(0.05, none.length)).toFixed(1)}; ` +
        `unchanged: cannot tell ${percent(called(none, 'cannot tell'))} %, no clear change ${percent(called(none, 'no clear change'))} %`,
    );
    write(`  cannot tell, unchanged: ${cannotTellColumns(measureNames, none)}`);
    for (const lift of lifts) {
      const ofLift = these.filter((t) => t.changed !== null && t.lift === lift);
      const cells = headlineMeasures(lift).map(
        (name) =>
          `${name} ${percent(found(ofLift, name))} % of ${ofLift.filter((t) => t.changed === name).length}`,
      );
      write(`  ${lift}: 1.5 delta found ${cells.join(', ')}`);
    }
  }
}
if (all.length > 0) printPairs();

const lifters = Number(values.usual);
if (lifters > 0) {
  const calls = Array.from({ length: lifters }, (_, k) =>
    usualTrial(lifts[k % 3], k % 2 === 0, Number(values.draws), 2e6 * Number(values.seed) + k),
  ).filter((any) => any !== null);
  const share = calls.filter(Boolean).length / calls.length;
  write(
    `with six usual reps of two days and ordinary variation: any false changed ${percent(share)} % ± ${(200 * binomial(0.05, calls.length)).toFixed(1)} of ${calls.length}`,
  );
}
