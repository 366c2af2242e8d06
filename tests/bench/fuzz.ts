import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { parseArgs } from 'node:util';
import { findTools } from '../../electron/media/find-ffmpeg.ts';
import { mutate } from '../fuzz/mutate.ts';
import { makeSeeds, type Seed } from '../fuzz/seeds.ts';
import { canWatch, touchedIn, watched } from '../fuzz/system-calls.ts';
import { takeIn, type Taken } from '../fuzz/take-in.ts';
import { keptLines, keptResults } from './kept-results.ts';

/**
 * Brings damaged files in and prints how that ended, by container. Every file follows from its number; a run that was
 * stopped goes on with `--resume`, and `--minutes N` stops this one. With `--watch` the run's system calls are looked
 * through for files outside its folder and for connections.
 */
const { values } = parseArgs({
  options: {
    files: { type: 'string', default: '2000' },
    file: { type: 'string', default: path.join(tmpdir(), 'lockstep-fuzz.jsonl') },
    resume: { type: 'boolean', default: false },
    minutes: { type: 'string', default: 'Infinity' },
    watch: { type: 'boolean', default: false },
    /** Where a watched run works. */
    in: { type: 'string' },
  },
});
const wanted = Number(values.files);

/** What came of one file; `trouble` where that must not be. */
interface Done extends Taken {
  seed: string;
  damage: string;
  trouble: string;
}
const kept = await keptResults<Done>(values.file, values.resume);
if (!values.resume) rmSync(`${values.file}.watched`, { force: true });
const watchedRuns = await keptLines(`${values.file}.watched`);

if (values.in) await run(values.in);
else {
  const folder = mkdtempSync(path.join(tmpdir(), 'lockstep-fuzz-'));
  if (values.watch) await runWatched(folder);
  else await run(folder);
  rmSync(folder, { recursive: true });
  report();
}

async function run(folder: string): Promise<void> {
  const tools = findTools();
  const seeds = makeSeeds(path.join(folder, 'seeds'), tools.ffmpeg);
  const [clips, work, temp] = ['clips', 'work', 'temp'].map((name) => path.join(folder, name));
  for (const each of [clips, work, temp]) mkdirSync(each, { recursive: true });
  process.env.TMPDIR = temp;
  process.chdir(work);
  const untilMs = performance.now() + 60_000 * Number(values.minutes);
  for (let number = 0; number < wanted && performance.now() < untilMs; number++) {
    if (kept.all.has(number)) continue;
    await kept.add(number, await takeDamaged(seeds[number % seeds.length], number));
  }

  async function takeDamaged(seed: Seed, number: number): Promise<Done> {
    const { damage, bytes } = mutate(seed.bytes, number);
    const file = path.join(clips, `${number}${path.extname(seed.name)}`);
    writeFileSync(file, bytes);
    const taken = await takeIn(file, tools, work);
    const scraps = [
      ...readdirSync(temp),
      ...readdirSync(clips).filter((name) => name !== path.basename(file)),
      ...readdirSync(work).filter((name) => !/^[01]\.jpg$/.test(name)),
    ].map((name) => `left ${name}`);
    const changed = readFileSync(file).equals(bytes) ? [] : ['changed the clip'];
    const fault = taken.end === 'fault' ? [taken.what] : [];
    rmSync(file);
    const trouble = [...fault, ...scraps, ...changed].join(', ');
    return { ...taken, seed: seed.name, damage, trouble };
  }
}

async function runWatched(folder: string): Promise<void> {
  if (!canWatch()) throw new Error('strace, which --watch needs, cannot be used here.');
  const log = path.join(folder, 'calls');
  const before = kept.all.size;
  const again = [process.execPath, ...process.execArgv, process.argv[1]];
  const words = ['--files', values.files, '--minutes', values.minutes, '--file', values.file, '--resume'];
  const [program, args] = watched(log, [...again, ...words, '--in', folder]);
  const env = { ...process.env, TSX_DISABLE_CACHE: '1' };
  const { status } = spawnSync(program, args, { stdio: 'inherit', env });
  if (status !== 0) throw new Error('The watched run failed.');
  for (const [number, done] of (await keptResults<Done>(values.file, true)).all) kept.all.set(number, done);
  const { written, reached } = touchedIn(readFileSync(log, 'utf8'), process.cwd());
  const allowed = ['/dev/null', path.resolve(values.file), path.resolve(path.dirname(values.file))];
  const outside = written.filter(
    (each) => path.relative(folder, each).startsWith('..') && !allowed.includes(each),
  );
  const line = JSON.stringify({ files: kept.all.size - before, outside, reached });
  watchedRuns.lines.push(line);
  await watchedRuns.add(line);
}

function report(): void {
  const all = [...kept.all.entries()].filter(([number]) => number < wanted);
  const ends = [...new Set(all.map(([, { end }]) => end))].sort();
  const row = (name: string, done: readonly Done[]): string =>
    [
      name.padEnd(14),
      ...ends.map((end) => String(done.filter((each) => each.end === end).length).padStart(13)),
    ].join(' ');
  console.log([`${all.length} files`.padEnd(14), ...ends.map((end) => end.padStart(13))].join(' '));
  for (const seed of [...new Set(all.map(([, each]) => each.seed))].sort())
    console.log(
      row(
        seed,
        all.flatMap(([, each]) => (each.seed === seed ? [each] : [])),
      ),
    );
  console.log(
    row(
      'all',
      all.map(([, each]) => each),
    ),
  );
  const [number, slowest] = all.reduce((a, b) => (b[1].tookMs > a[1].tookMs ? b : a));
  console.log(
    `slowest: ${(slowest.tookMs / 1000).toFixed(1)} s (${number}: ${slowest.end}, ${slowest.what})`,
  );
  const troubles = all.filter(([, { trouble }]) => trouble !== '');
  console.log(`troubles: ${troubles.length}`);
  for (const [n, { seed, damage, trouble }] of troubles) console.log(`  ${n} ${seed} ${damage}: ${trouble}`);
  const runs = watchedRuns.lines.map((line) => JSON.parse(line) as WatchedRun);
  const files = runs.reduce((sum, each) => sum + each.files, 0);
  const outside = runs.flatMap((each) => each.outside);
  const reached = runs.flatMap((each) => each.reached);
  console.log(`watched: ${files} files, ${outside.length} written outside, ${reached.length} connections`);
  for (const each of [...outside, ...reached]) console.log(`  ${each}`);
  process.exitCode = troubles.length + outside.length + reached.length > 0 ? 1 : 0;
}

interface WatchedRun {
  files: number;
  outside: string[];
  reached: string[];
}
