import { readFile, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { parseArgs } from 'node:util';
import { suiteSets, type SuiteSet } from '../../demo-data/random-suite.ts';
import { checkColumns, eventColumns, followingColumns, velocityColumns } from './accuracy/columns.ts';
import { asJson, fromJson, worseThan } from './accuracy/compare.ts';
import { keptResults } from './accuracy/kept-results.ts';
import { opencvTable } from './accuracy/opencv.ts';
import { measureScenes } from './accuracy/run.ts';
import { fixedScenes, randomScenes, wanted, withBits } from './accuracy/scenes.ts';
import type { SceneResult } from './accuracy/score-worker.ts';
import { clipTable, groupTable } from './accuracy/table.ts';
import { verdictTable } from './accuracy/verdicts.ts';

/**
 * Prints how far the measuring is from rendered truth, by condition: the random suite, or with --suite the fixed scenes
 * one by one. Films are kept in --cache; scores never are, but in the file that --resume names.
 */
const { values } = parseArgs({
  options: {
    /** tuning, judging or other-style. */
    set: { type: 'string', default: 'judging' },
    scenes: { type: 'string', default: '40' },
    from: { type: 'string', default: '0' },
    suite: { type: 'boolean', default: false },
    /** A scene's name, or what is in its name or in one of its conditions. */
    only: { type: 'string' },
    jobs: { type: 'string', default: '1' },
    cache: { type: 'string', default: path.join(tmpdir(), 'lockstep-accuracy') },
    /**
     * Films of so many bits a pixel in place of those that are compressed as the set draws it: with 0.1, what bounds the
     * measuring beside compression. A phone's own file has 0.1 to 0.3 (12 Mb/s of 1080p at 60 a second to 17 at 30; common practice).
     */
    'bits-per-px': { type: 'string' },
    opencv: { type: 'boolean', default: false },
    /** One row for each clip too. */
    clips: { type: 'boolean', default: false },
    json: { type: 'string' },
    /** Where results are kept as they finish; those that are in it already are not measured again. */
    resume: { type: 'string' },
    against: { type: 'string' },
  },
});

const set = suiteSets.find((s): s is SuiteSet => s.replace(' ', '-') === values.set);
if (!set) throw new Error(`--set is one of ${suiteSets.map((s) => s.replace(' ', '-')).join(', ')}.`);
const { only } = values;
const bitsPerPx = values['bits-per-px'] === undefined ? null : Number(values['bits-per-px']);
const scenes = (values.suite ? fixedScenes() : randomScenes(set, Number(values.from), Number(values.scenes)))
  .filter((scene) => only === undefined || wanted(scene, only))
  .map((scene) => (bitsPerPx === null ? scene : withBits(scene, bitsPerPx)));
const print = (text: string): void => void process.stdout.write(`${text}\n`);

let done = 0;
const kept = values.resume === undefined ? undefined : await keptResults(values.resume);
const said = (result: SceneResult): void => {
  done++;
  const { name, conditions, error, score } = result;
  const what = [name, ...conditions].join(', ');
  const wrong = error ?? (score?.wrong ? 'followed something that is not the ruler disc' : null);
  if (wrong !== null) print(`${what}: ${wrong}`);
  process.stderr.write(
    `${done} of ${scenes.length}: ${what}: ${wrong ?? `path ${score?.rmsMm.toFixed(2)} mm`}\n`,
  );
};
const results = await measureScenes(scenes, values.cache, Number(values.jobs), said, kept);

print(
  `${scenes.length} scenes ${values.suite ? 'of the fixed suite' : `of the set "${set}"`}, measured without a seed.`,
);
print(
  'Two figures are the median and the 95th percentile, over clips or over their reps; wrongly followed clips count in "wrong" alone.',
);
for (const columns of [followingColumns, velocityColumns, eventColumns, checkColumns]) {
  if (values.clips || values.suite) print(`\n${clipTable(columns, results)}`);
  if (!values.suite) print(`\n${groupTable(columns, results)}`);
}
print(`\n${verdictTable(results)}`);
if (values.opencv) print(`\n${opencvTable(results)}`);
if (values.json) await writeFile(values.json, asJson(results));
if (values.against) {
  const worse = worseThan(fromJson(await readFile(values.against, 'utf8')), results);
  print(
    worse.length === 0
      ? '\nNothing became worse.'
      : `\nWorse than in ${values.against}:\n${worse.join('\n')}`,
  );
}
