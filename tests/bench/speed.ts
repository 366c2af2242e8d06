import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync } from 'node:fs';
import { rm } from 'node:fs/promises';
import { cpus, loadavg, tmpdir, totalmem } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { findTools } from '../../electron/media/find-ffmpeg.ts';
import { probeClip } from '../../electron/media/probe.ts';
import { ordinary } from './speed/clips.ts';
import { figureTable } from './speed/figures.ts';
import { following, lengths } from './speed/following.ts';
import { movedEventMs } from './speed/moved-event.ts';
import { pairing } from './speed/pairing.ts';
import { builtAs, speedBench } from './speed/speed-bench.ts';
import { opencvMs, trackingAloneMs } from './speed/tracking-alone.ts';

/**
 * Prints what following, pairing and handing back cost, as ratios within this run to decoding the same clip with the same
 * ffmpeg, to OpenCV and to playback, from clips that it renders itself and keeps in --cache; each figure beside its target.
 * Runs the program as built in dist.
 */
const { values } = parseArgs({
  options: {
    /** Times each is run; the median counts. */
    rounds: { type: 'string', default: '3' },
    /** One of the parts; all of them where left out. */
    only: { type: 'string' },
    /** One round, 10 s where else 30 s: about ten minutes in all on two cores with nothing else to do. */
    short: { type: 'boolean', default: false },
    /** A clip of 300 s too. */
    long: { type: 'boolean', default: false },
    cache: { type: 'string', default: path.join(tmpdir(), 'lockstep-speed') },
  },
});
if (!existsSync(builtAs('cli.js'))) throw new Error('Nothing is built yet: npm run build first.');
const rounds = values.short ? 1 : Number(values.rounds);
const { bench, figures, scratch } = await speedBench(findTools(), values.cache, rounds);
const load = (): string => loadavg()[0].toFixed(1);

const parts: Record<string, () => Promise<void>> = {
  follow: () => following(bench, values.short ? 10 : 30),
  length: () => lengths(bench, values.long ? [10, 60, 300] : [10, 60]),
  tracking: async () => {
    const { file, truth } = await bench.clip(ordinary(10));
    const { ffmpeg } = bench.tools;
    const { widthPx: width, heightPx: height, bitDepth } = await probeClip(file, bench.tools);
    const own = await trackingAloneMs(file, { ffmpeg, width, height, bitDepth }, truth);
    const ms = own.disc + own.background;
    bench.keep({
      name: 'tracking alone',
      value: ms,
      unit: 'ms of processor time a frame',
      target: { most: 3 },
    });
    bench.keep({ name: 'of it the background', value: own.background, unit: 'ms of processor time a frame' });
    const least: Record<string, number> = { CSRT: 5 };
    for (const [name, others] of Object.entries(opencvMs(file, truth) ?? {}))
      bench.keep({
        name: `OpenCV's ${name}`,
        value: others / ms,
        unit: 'times as long',
        target: { least: least[name] ?? 1 },
      });
  },
  pair: () => pairing(bench, scratch),
  event: async () => {
    const { file } = await bench.clip(ordinary(10));
    const { first, later, opened, settled } = await movedEventMs(file, bench.tools);
    bench.keep(
      { name: 'an event moved: numbers', value: later, unit: 'ms', target: { most: 50 } },
      { name: 'the first time', value: first, unit: 'ms', target: { most: 50 } },
      { name: 'an event moved: intervals', value: settled / 1000, unit: 's', target: { most: 1 } },
      { name: 'intervals the first time', value: opened / 1000, unit: 's' },
    );
  },
  /** Scrubbing, and from the start to a page that answers. */
  scrub: async () => {
    const script = fileURLToPath(new URL('./scrub.ts', import.meta.url));
    const args = [...process.execArgv, script, '--steps', values.short ? '40' : '120'];
    const [status] = (await once(spawn(process.execPath, args, { stdio: 'inherit' }), 'close')) as [number];
    if (status !== 0) throw new Error(`Scrubbing ended with status ${status}.`);
  },
};

const wanted = values.only === undefined ? Object.keys(parts) : values.only.split(',');
const unknown = wanted.find((name) => !(name in parts));
if (unknown) throw new Error(`There is no part ${unknown}: say ${Object.keys(parts).join(', ')}.`);
try {
  const facts = `${cpus().length} x ${cpus()[0].model.trim()}, ${(totalmem() / 1e9).toFixed(0)} GB, Node ${process.version}`;
  bench.print(`${facts}, medians of ${rounds}, load ${load()} at the start.`);
  for (const name of wanted) await parts[name]();
  if (figures.length > 0) bench.print(`\n${figureTable(figures)}`);
  bench.print(`\nLoad ${load()} at the end.`);
} finally {
  await rm(scratch, { recursive: true, force: true });
}
