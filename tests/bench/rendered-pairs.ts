import { tmpdir } from 'node:os';
import path from 'node:path';
import { parseArgs } from 'node:util';
import { measureNames } from '../../shared-lib/contract/measures.ts';
import {
  anyDiffers,
  binomial,
  called,
  heldTogether,
  tally,
  tallyChanges,
  tallySingles,
  type Trial,
} from '../unit/pair/trials.ts';
import { cannotTellColumns, coverageColumns, legend, percent, shareColumns } from './coverage-columns.ts';
import { keptResults } from './kept-results.ts';
import { drawRenderedPair, filmings, type PairFilming } from './pairs/draw-pair.ts';
import { filmAndCompare } from './pairs/film-pair.ts';
import type { SizeApart } from './pairs/size-apart.ts';

/**
 * Prints how often stated intervals hold the truth and how often calls are right over rendered pairs, filmed with
 * nuisances at least as wide as the error model takes them to be and compared by the program's own code. Films and traces
 * are kept in --cache; --fresh follows anew. Each pair's result is kept in --file; --resume goes on where a run was stopped.
 */
const { values } = parseArgs({
  options: {
    pairs: { type: 'string', default: '18' },
    from: { type: 'string', default: '0' },
    draws: { type: 'string', default: '400' },
    cache: { type: 'string', default: path.join(tmpdir(), 'lockstep-accuracy') },
    fresh: { type: 'boolean', default: false },
    file: { type: 'string', default: path.join(tmpdir(), 'lockstep-pairs.jsonl') },
    resume: { type: 'boolean', default: false },
    /** Stops after so many minutes; the table is of what is there. */
    minutes: { type: 'string', default: 'Infinity' },
  },
});
const print = (text: string): void => void process.stdout.write(`${text}\n`);

/** What came of one pair. */
interface Done {
  name: string;
  filming: PairFilming;
  /** Null where it could not be measured. */
  trial: Trial | null;
  /** Each clip's with size known. */
  apart?: SizeApart[];
  failure: string | null;
}

const kept = await keptResults<Done>(values.file, values.resume);
const untilMs = Date.now() + 60_000 * Number(values.minutes);
const from = Number(values.from);
for (let k = from; k < from + Number(values.pairs) && Date.now() < untilMs; k++) {
  if (kept.all.has(k)) continue;
  const draw = drawRenderedPair(k);
  const { name, filming } = draw;
  const { cache, fresh } = values;
  const result = await filmAndCompare(draw, { cache, fresh, draws: Number(values.draws) }).then(
    ({ trial, apart }): Done => ({ name, filming, trial, apart, failure: null }),
    (error: Error): Done => ({ name, filming, trial: null, failure: error.message.split('\n')[0] }),
  );
  await kept.add(k, result);
}

const results = [...kept.all.values()];
const numbered = [...kept.all].flatMap(([k, { trial }]) => (trial ? [{ k, trial }] : []));
/** Pairs with even numbers are those that figures of the error model were set on, beyond the first 36. */
const halves = [0, 1].map((odd) => numbered.filter(({ k }) => k % 2 === odd).map(({ trial }) => trial));
const apart = results.flatMap((r) => r.apart ?? []);
const done = results.flatMap(({ filming, trial }) => (trial ? [{ filming, trial }] : []));
const failed = results.length - done.length;
for (const { name, filming, failure } of results) if (failure) print(`${name} (${filming}): ${failure}`);
const all = done.map((d) => d.trial);
print(
  `${all.length} pairs, ${failed} more could not be measured. Lengths in mm, angles in degrees. ${legend}`,
);
print(`${'measure'.padEnd(22)} ${'one rep'.padEnd(70)} | change`);
for (const name of measureNames) {
  const [single, change] = [tallySingles(all, name), tallyChanges(all, name)];
  if (single.n + change.n === 0) continue;
  print(`${name.padEnd(22)} ${coverageColumns(name, single).padEnd(70)} | ${coverageColumns(name, change)}`);
}
print(`one rep: even numbers | odd numbers | size known: what trace, up and angle alone make of it`);
for (const name of measureNames) {
  const tallies = [
    ...halves.map((half) => tallySingles(half, name)),
    tally(apart.map((a) => a.measures[name])),
  ];
  if (tallies.every((t) => t.n === 0)) continue;
  print(`${name.padEnd(22)} ${tallies.map((t) => shareColumns(name, t).padEnd(32)).join(' | ')}`);
}
for (const of of ['disc', 'rim'] as const) {
  const t = tally(apart.map((a) => a[of]));
  print(
    `size by the ${of}: held ${percent(t.held / t.n)} % ±${(200 * binomial(0.95, t.n)).toFixed(1)}, off by ${percent(t.rms)} % (root mean square), ${percent(t.bias)} % in the mean, u ${percent(t.u95)} %`,
  );
}
for (const filming of filmings) {
  const of = (isChanged: boolean): Trial[] =>
    done.filter((d) => d.filming === filming && (d.trial.changed !== null) === isChanged).map((d) => d.trial);
  const [none, some] = [of(false), of(true)];
  if (none.length + some.length === 0) continue;
  const found = some.filter((t) => t.changed !== null && t.changes[t.changed].call === 'differs').length;
  print(
    [
      `${filming}: all headline intervals hold ${percent(heldTogether([...none, ...some]))} % of ${none.length + some.length}`,
      ...(some.length > 0 ? [`1.5 delta found ${found} of ${some.length}`] : []),
      ...(none.length > 0
        ? [
            `any false differs ${percent(anyDiffers(none))} % ± ${(200 * binomial(0.05, none.length)).toFixed(1)} of ${none.length}`,
            `unchanged: cannot tell ${percent(called(none, 'cannot tell'))} %, no clear change ${percent(called(none, 'no clear change'))} %`,
          ]
        : []),
    ].join('; '),
  );
  if (none.length > 0) print(`  cannot tell, unchanged: ${cannotTellColumns(measureNames, none)}`);
}
