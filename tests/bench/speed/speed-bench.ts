import { mkdtemp } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { median } from 'd3-array';
import { clipStream, inputArguments } from '../../../electron/media/arguments.ts';
import type { MediaTools } from '../../../electron/media/find-ffmpeg.ts';
import { speedClip, type SpeedClip } from './clips.ts';
import type { Figure } from './figures.ts';
import { timed, type Cost } from './timed-child.ts';

/** The program as built; everything that is timed is what people run. */
export const builtAs = (name: string): URL => new URL(`../../../dist/${name}`, import.meta.url);
const program = fileURLToPath(builtAs('cli.js'));

/** What every part of the bench is given. */
export interface SpeedBench {
  tools: MediaTools;
  /** Times each is run. */
  rounds: number;
  /** Decodes a clip to nothing, as fast as this ffmpeg can. */
  decode: (file: string) => Promise<Cost>;
  /** Runs a command of the program. */
  run: (...args: string[]) => Promise<Cost>;
  clip: (clip: SpeedClip) => ReturnType<typeof speedClip>;
  print: (text: string) => void;
  /** Keeps a figure for the last table. */
  keep: (...figures: Figure[]) => void;
}

export async function speedBench(
  tools: MediaTools,
  cache: string,
  rounds: number,
): Promise<{ bench: SpeedBench; figures: readonly Figure[]; scratch: string }> {
  const scratch = await mkdtemp(path.join(tmpdir(), 'lockstep-speed-out-'));
  const figures: Figure[] = [];
  let outs = 0;
  const decoding = ['-v', 'error', '-nostdin'];
  return {
    scratch,
    figures,
    bench: {
      tools,
      rounds,
      decode: (file) =>
        timed(tools.ffmpeg, [
          ...[...decoding, ...inputArguments(file)],
          ...['-map', clipStream, '-f', 'null', '-'],
        ]),
      run: (...args) =>
        timed(process.execPath, [program, ...args, '--out', path.join(scratch, String(outs++))]),
      clip: (clip) => speedClip(tools.ffmpeg, cache, clip),
      print: (text) => void process.stdout.write(`${text}\n`),
      keep: (...more) => void figures.push(...more),
    },
  };
}

/** Medians over rounds in which all are run one after the other, so that a busy moment meets them alike. */
export async function medians<Name extends string>(
  rounds: number,
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

export const ratio = (a: number, b: number): string => (a / b).toFixed(2);
