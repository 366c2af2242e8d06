import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { parseArgs } from 'node:util';
import { findTools } from '../../electron/media/find-ffmpeg.ts';
import { mutate } from '../fuzz/mutate.ts';
import { makeSeeds } from '../fuzz/seeds.ts';
import { canWatch, touchedIn, watched } from '../fuzz/system-calls.ts';
import { takeIn, type Taken } from '../fuzz/take-in.ts';

/**
 * Brings damaged files in and prints how that ended. Every file follows from its number, so that a run may be cut into
 * parts. With --watch the whole run's system calls are looked through for files outside its folder and for connections.
 */
const { values } = parseArgs({
  options: {
    files: { type: 'string', default: '200' },
    from: { type: 'string', default: '0' },
    watch: { type: 'boolean', default: false },
    in: { type: 'string' },
  },
});
const from = Number(values.from);
const to = from + Number(values.files);
const folder = values.in ?? mkdtempSync(path.join(tmpdir(), 'lockstep-fuzz-'));

if (values.watch) runWatched();
else await run();

async function run(): Promise<void> {
  const tools = findTools();
  const seeds = makeSeeds(path.join(folder, 'seeds'), tools.ffmpeg);
  const [clips, work, temp] = ['clips', 'work', 'temp'].map((name) => path.join(folder, name));
  for (const each of [clips, work, temp]) mkdirSync(each, { recursive: true });
  process.env.TMPDIR = temp;
  process.chdir(work);
  const ends = new Map<string, number>();
  const troubles: string[] = [];
  let slowest: Taken & { number: number } = { end: '', what: '', tookMs: 0, number: -1 };
  for (let number = from; number < to; number++) {
    const seed = seeds[number % seeds.length];
    const { damage, bytes } = mutate(seed.bytes, number);
    const file = path.join(clips, `${number}${path.extname(seed.name)}`);
    writeFileSync(file, bytes);
    const taken = await takeIn(file, tools, work);
    ends.set(taken.end, (ends.get(taken.end) ?? 0) + 1);
    if (taken.tookMs > slowest.tookMs) slowest = { ...taken, number };
    const scraps = [
      ...readdirSync(temp),
      ...readdirSync(clips).filter((name) => name !== path.basename(file)),
    ];
    const strange = readdirSync(work).filter((name) => !/^[01]\.jpg$/.test(name));
    if (taken.end === 'fault' || scraps.length + strange.length > 0 || !readFileSync(file).equals(bytes)) {
      troubles.push(
        `${number} ${seed.name} ${damage}: ${taken.end} ${taken.what} ${[...scraps, ...strange].join(' ')}`,
      );
    }
    rmSync(file);
  }
  console.log(`files ${from} to ${to - 1}, ${seeds.length} kinds of clip`);
  for (const [end, count] of ends) console.log(`  ${end.padEnd(14)} ${count}`);
  console.log(
    `slowest: ${(slowest.tookMs / 1000).toFixed(1)} s (${slowest.number}: ${slowest.end}, ${slowest.what})`,
  );
  console.log(`troubles: ${troubles.length}`);
  for (const trouble of troubles) console.log(`  ${trouble}`);
  if (!values.in) rmSync(folder, { recursive: true });
  process.exitCode = troubles.length > 0 ? 1 : 0;
}

function runWatched(): void {
  if (!canWatch()) throw new Error('strace, which --watch needs, cannot be used here.');
  const log = path.join(folder, 'calls');
  const again = [process.execPath, ...process.execArgv, process.argv[1]];
  const words = ['--files', values.files, '--from', values.from, '--in', folder];
  const [program, args] = watched(log, [...again, ...words]);
  const { status } = spawnSync(program, args, {
    stdio: 'inherit',
    env: { ...process.env, TSX_DISABLE_CACHE: '1' },
  });
  const { written, reached } = touchedIn(readFileSync(log, 'utf8'), process.cwd());
  const outside = written.filter(
    (file) => path.relative(folder, file).startsWith('..') && file !== '/dev/null',
  );
  console.log(`written outside ${folder}: ${outside.length}`);
  for (const file of outside) console.log(`  ${file}`);
  console.log(`connections: ${reached.length} ${reached.join(' ')}`);
  rmSync(folder, { recursive: true });
  process.exitCode = status !== 0 || outside.length > 0 || reached.length > 0 ? 1 : 0;
}
