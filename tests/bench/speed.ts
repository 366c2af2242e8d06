import { existsSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { cpus, tmpdir, totalmem } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { median } from 'd3-array';
import { clipStream, inputArguments } from '../../electron/media/arguments.ts';
import { findTools } from '../../electron/media/find-ffmpeg.ts';
import { probeClip } from '../../electron/media/probe.ts';
import { textTable } from './accuracy/table.ts';
import { movedEventMs } from './speed/moved-event.ts';
import { ordinary, otherClips, speedClip, type SpeedClip } from './speed/clips.ts';
import { timed, timedTogether, type Cost } from './speed/timed-child.ts';
import { opencvMs, trackingAloneMs } from './speed/tracking-alone.ts';

/**
 * Prints what following and pairing cost, each as a ratio to decoding the same clip with the same ffmpeg in the same run,
 * from clips that it renders itself and keeps in --cache. Runs the program as built in dist.
 */
const { values } = parseArgs({
  options: {
    /** Times each is run; the median counts. */
    rounds: { type: 'string', default: '3' },
    /** follow, length, tracking, pair or event; all of them where left out. */
    only: { type: 'string' },
    /** A clip of 300 s too. */
    long: { type: 'boolean', default: false },
    cache: { type: 'string', default: path.join(tmpdir(), 'lockstep-speed') },
  },
});
const rounds = Number(values.rounds);
const { ffmpeg } = findTools();
const program = fileURLToPath(new URL('../../dist/cli.js', import.meta.url));
if (!existsSync(program)) throw new Error('Nothing is built yet: npm run build first.');
const print = (text: string): void => void process.stdout.write(`${text}\n`);
const wanted = (part: string): boolean => values.only === undefined || values.only === part;
const scratch = await mkdtemp(path.join(tmpdir(), 'lockstep-speed-out-'));
let outs = 0;

const run = (...args: string[]) => timed(process.execPath, [program, ...args, '--out', nextOut()]);
const nextOut = (): string => path.join(scratch, String(outs++));
const decode = (file: string) =>
  timed(ffmpeg, ['-v', 'error', '-nostdin', ...inputArguments(file), '-map', clipStream, '-f', 'null', '-']);
const follow = (file: string) => run('follow', file, '--lift', 'squat');

/** Medians over rounds in which all are run one after the other, so that a busy moment meets them alike. */
async function medians<Name extends string>(
  of: Record<Name, () => Promise<Cost>>,
): Promise<Record<Name, Cost>> {
  const costs = {} as Record<Name, Cost[]>;
  const names = Object.keys(of) as Name[];
  for (let round = 0; round < rounds; round++)
    for (const name of names) (costs[name] ??= []).push(await of[name]());
  const middle = (name: Name, part: keyof Cost): number => median(costs[name], (c) => c[part]) ?? NaN;
  return Object.fromEntries(
    names.map((name) => [
      name,
      { wallS: middle(name, 'wallS'), cpuS: middle(name, 'cpuS'), peakBytes: middle(name, 'peakBytes') },
    ]),
  ) as Record<Name, Cost>;
}

const ratio = (a: number, b: number): string => (a / b).toFixed(2);
const perFrame = (s: number, frames: number): string => ((1000 * s) / frames).toFixed(1);
const megabytes = (bytes: number): string => (bytes / 1e6).toFixed(0);

async function followTable(
  clips: readonly SpeedClip[],
): Promise<{ frames: number; bare: Cost; own: Cost }[]> {
  const rows: string[][] = [];
  const results = [];
  for (const clip of clips) {
    const { file } = await speedClip(ffmpeg, values.cache, clip);
    const frames = Math.round((await probeClip(file, findTools())).durationS * clip.fps);
    const { bare, own } = await medians({ bare: () => decode(file), own: () => follow(file) });
    results.push({ frames, bare, own });
    rows.push([
      `${clip.about}, ${clip.seconds} s`,
      ...[ratio(own.wallS, bare.wallS), ratio(own.cpuS, bare.cpuS)],
      ...[perFrame(bare.wallS, frames), perFrame(own.wallS, frames)],
      ...[perFrame(bare.cpuS, frames), perFrame(own.cpuS, frames), megabytes(own.peakBytes)],
    ]);
  }
  const head = [
    'time / decode',
    'cpu / decode',
    'decode ms',
    'follow ms',
    'decode cpu ms',
    'follow cpu ms',
    'MB',
  ];
  print(`\nFollowing against bare decoding, a frame\n${textTable(['', ...head], rows)}`);
  return results;
}

try {
  print(
    `${cpus().length} x ${cpus()[0].model.trim()}, ${(totalmem() / 1e9).toFixed(0)} GB, Node ${process.version}, medians of ${rounds}.`,
  );
  if (wanted('follow')) await followTable([ordinary(30), ...otherClips]);
  if (wanted('length')) {
    const lengths = values.long ? [10, 60, 300] : [10, 60];
    const [short, ...longer] = await followTable(lengths.map(ordinary));
    const long = longer[longer.length - 1];
    const slope = (of: 'bare' | 'own'): number =>
      (long[of].wallS - short[of].wallS) / (long.frames - short.frames);
    print(
      `Above decoding: ${(1000 * (slope('own') - slope('bare'))).toFixed(1)} ms a frame; start-up ${(
        short.own.wallS -
        slope('own') * short.frames
      ).toFixed(1)} s. Time a frame at ${lengths.at(-1)} s to that at ${lengths[0]} s: ${ratio(
        long.own.wallS / long.frames,
        short.own.wallS / short.frames,
      )}.`,
    );
  }
  if (wanted('tracking')) {
    const { file, truth } = await speedClip(ffmpeg, values.cache, ordinary(10));
    const { widthPx: width, heightPx: height, bitDepth } = await probeClip(file, findTools());
    const own = await trackingAloneMs(file, { ffmpeg, width, height, bitDepth }, truth);
    const all = own.disc + own.background;
    const others = Object.entries(opencvMs(file, truth) ?? {}).map(
      ([name, ms]) => `OpenCV's ${name} ${ms.toFixed(1)} ms, ${ratio(ms, all)} times as long`,
    );
    print(
      `\nTracking alone at 1080p: disc ${own.disc.toFixed(2)} ms, background ${own.background.toFixed(2)} ms of processor time a frame; ${others.join('; ')}.`,
    );
  }
  if (wanted('pair')) {
    const { file } = await speedClip(ffmpeg, values.cache, ordinary(10));
    const two = ['pair', '--reference', file, '--today', file, '--lift', 'squat'];
    const { bare, own } = await medians({
      bare: () => timedTogether([() => decode(file), () => decode(file)]),
      own: () => run(...two),
    });
    print(
      `\nPair of 10 s clips with page and film: ${ratio(own.wallS, bare.wallS)} times two bare decodes at once (${own.wallS.toFixed(1)} s against ${bare.wallS.toFixed(1)} s), ${megabytes(own.peakBytes)} MB.`,
    );
  }
  if (wanted('event')) {
    const { file } = await speedClip(ffmpeg, values.cache, ordinary(10));
    const { first, later, intervals } = await movedEventMs(file, findTools());
    print(
      `\nMoving an event of a 10 s clip: new numbers after ${first.toFixed(0)} ms the first time and ${later.toFixed(1)} ms from then on; new intervals after ${(intervals / 1000).toFixed(1)} s.`,
    );
  }
} finally {
  await rm(scratch, { recursive: true, force: true });
}
