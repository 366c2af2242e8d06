import { tmpdir } from 'node:os';
import path from 'node:path';
import { parseArgs } from 'node:util';
import type { Call } from '../../shared-lib/contract/pair.ts';
import { measureNames } from '../../shared-lib/contract/measures.ts';
import { binomial, heldTogether, tally, tallyChanges, type Trial } from '../unit/pair/trials.ts';
import { legend, percent, shareColumns } from './coverage-columns.ts';
import { keptResults } from './kept-results.ts';
import { compareWithUsual, type UsualTrial } from './pairs/compare-usual.ts';
import { drawLifter } from './pairs/draw-lifter.ts';

/**
 * Prints how often a lifter who has not changed, whose reps vary as they usually do, is said to have: each lifter is filmed on
 * three days, three reps each, with nuisances at least as wide as the error model takes them to be, two days say what is
 * usual, and each rep of the third is compared with the first of the first by the program's own code. Films and traces are
 * kept in --cache; --fresh follows anew. Each lifter's result is kept in --file; --resume goes on where a run was stopped.
 */
const { values } = parseArgs({
  options: {
    lifters: { type: 'string', default: '6' },
    from: { type: 'string', default: '0' },
    draws: { type: 'string', default: '400' },
    cache: { type: 'string', default: path.join(tmpdir(), 'lockstep-accuracy') },
    fresh: { type: 'boolean', default: false },
    file: { type: 'string', default: path.join(tmpdir(), 'lockstep-lifters.jsonl') },
    resume: { type: 'boolean', default: false },
    /** Stops after so many minutes; the table is of what is there. */
    minutes: { type: 'string', default: 'Infinity' },
  },
});
const print = (text: string): void => void process.stdout.write(`${text}\n`);

/** What came of one lifter: of each rep of today, or why there is nothing. */
interface Done {
  name: string;
  trials: UsualTrial[];
  failure: string | null;
}

const kept = await keptResults<Done>(values.file, values.resume);
const untilMs = Date.now() + 60_000 * Number(values.minutes);
const from = Number(values.from);
for (let k = from; k < from + Number(values.lifters) && Date.now() < untilMs; k++) {
  if (kept.all.has(k)) continue;
  const draw = drawLifter(k);
  const { cache, fresh } = values;
  const result = await compareWithUsual(draw, { cache, fresh, draws: Number(values.draws) }).then(
    (trials): Done => ({ name: draw.name, trials, failure: null }),
    (error: Error): Done => ({ name: draw.name, trials: [], failure: error.message.split('\n')[0] }),
  );
  await kept.add(k, result);
}

const results = [...kept.all.values()];
for (const { name, failure } of results) if (failure) print(`${name}: ${failure}`);
const lifters = results.filter((r) => r.failure === null);
const pairs = lifters.flatMap(({ trials }) => trials);
const all = pairs.map(({ trial }) => trial);
const has = (trial: Trial, ...calls: Call[]): boolean =>
  Object.values(trial.changes).some(({ call }) => call !== null && calls.includes(call));
/** A difference the wrong way round. */
const isFalse = (trial: Trial): boolean =>
  Object.values(trial.changes).some(
    ({ call, truth, together }) =>
      (call === 'differs' || call === 'changed') && !((truth ?? 0) * together!.value > 0),
  );
const share = (of: readonly unknown[], n: number): string =>
  `${of.length} of ${n} (${percent(of.length / n)} % ± ${(200 * binomial(0.05, n)).toFixed(1)})`;

print(
  `${all.length} pairs of ${lifters.length} lifters, ${results.length - lifters.length} more could not be measured. ${legend}`,
);
print(
  `measure                today's rep in the band           | change of two reps that vary, held by its interval`,
);
for (const name of measureNames) {
  const inBand = tally(pairs.flatMap((p) => p.inBand[name] ?? []));
  const change = tallyChanges(all, name);
  if (inBand.n + change.n === 0) continue;
  print(`${name.padEnd(22)} ${shareColumns(name, inBand).padEnd(33)} | ${shareColumns(name, change)}`);
}
print(`all headline intervals hold at once: ${percent(heldTogether(all))} % of ${all.length} pairs`);
const falselyChanged = all.filter((trial) => has(trial, 'changed'));
print(`pairs with any \`changed\`, which is false: ${share(falselyChanged, all.length)}`);
const someFalse = lifters.filter(({ trials }) => trials.some(({ trial }) => has(trial, 'changed')));
print(`lifters with any: ${share(someFalse, lifters.length)}`);
print(`pairs with any difference called the wrong way round: ${share(all.filter(isFalse), all.length)}`);
const differing = all.filter((trial) => has(trial, 'differs', 'changed'));
print(`pairs with any \`differs\`: ${differing.length}; their two reps truly differ`);
