import { tmpdir } from 'node:os';
import path from 'node:path';
import { parseArgs } from 'node:util';
import { measureNames } from '../../shared-lib/contract/measures.ts';
import {
  anyDiffers,
  binomial,
  called,
  heldTogether,
  tallyChanges,
  tallySingles,
  type Trial,
} from '../unit/pair/trials.ts';
import { coverageColumns, percent } from './coverage-columns.ts';
import { drawRenderedPair, filmings, type PairDraw } from './pairs/draw-pair.ts';
import { filmAndCompare } from './pairs/film-pair.ts';

/**
 * Prints how often stated intervals hold the truth and how often calls are right over rendered pairs, filmed with
 * nuisances at least as wide as the error model takes them to be and compared by the program's own code. Films and traces
 * are kept in --cache; --fresh follows anew.
 */
const { values } = parseArgs({
  options: {
    pairs: { type: 'string', default: '18' },
    from: { type: 'string', default: '0' },
    draws: { type: 'string', default: '400' },
    cache: { type: 'string', default: path.join(tmpdir(), 'lockstep-accuracy') },
    fresh: { type: 'boolean', default: false },
  },
});
const print = (text: string): void => void process.stdout.write(`${text}\n`);

const done: { draw: PairDraw; trial: Trial }[] = [];
let failed = 0;
for (let k = 0; k < Number(values.pairs); k++) {
  const draw = drawRenderedPair(Number(values.from) + k);
  try {
    const { cache, fresh } = values;
    done.push({ draw, trial: await filmAndCompare(draw, { cache, fresh, draws: Number(values.draws) }) });
  } catch (error) {
    failed++;
    print(
      `${draw.name} (${draw.specs[0].lift}, ${draw.filming}): ${(error as Error).message.split('\n')[0]}`,
    );
  }
}

const all = done.map((d) => d.trial);
print(
  `${all.length} pairs, ${failed} more could not be measured. Lengths in mm, angles in degrees. !: outside 92 to 98 %.`,
);
print(`${'measure'.padEnd(22)} ${'one rep'.padEnd(70)} | change`);
for (const name of measureNames) {
  const [single, change] = [tallySingles(all, name), tallyChanges(all, name)];
  if (single.n + change.n === 0) continue;
  print(`${name.padEnd(22)} ${coverageColumns(name, single).padEnd(70)} | ${coverageColumns(name, change)}`);
}
for (const filming of filmings) {
  const of = (isChanged: boolean): Trial[] =>
    done
      .filter(({ draw }) => draw.filming === filming && (draw.changed !== null) === isChanged)
      .map((d) => d.trial);
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
}
