import { access } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { parseArgs } from 'node:util';
import { mean, median, quantile } from 'd3-array';
import { drawSuiteScene, type SuiteSet } from '../../demo-data/random-suite.ts';
import { truthFile } from '../../demo-data/render-clip.ts';
import type { SceneSpec } from '../../demo-data/scene/spec.ts';
import { suite } from '../../demo-data/suite.ts';
import { cachedClip, clipKey } from '../../demo-data/suite/cached-clip.ts';
import { errorParts, type ErrorParts } from './error-parts.ts';
import { followedOf } from './followed-clips.ts';

/**
 * Prints what followed traces of rendered clips are off by, part by part: what is new in each frame, what goes slowly,
 * scale, lean and delay. The figures of the simulation in tests/unit/pair and of shared-lib/motion/slow-error.ts are
 * these. Films come from --cache; --cached leaves out what would have to be rendered first.
 */
const { values } = parseArgs({
  options: {
    set: { type: 'string' },
    from: { type: 'string', default: '0' },
    scenes: { type: 'string', default: '30' },
    cache: { type: 'string', default: path.join(tmpdir(), 'lockstep-accuracy') },
    cached: { type: 'boolean', default: false },
    fresh: { type: 'boolean', default: false },
  },
});

const scenes: { name: string; spec: SceneSpec }[] = values.set
  ? Array.from({ length: Number(values.scenes) }, (_, k) =>
      drawSuiteScene(values.set as SuiteSet, Number(values.from) + k),
    )
  : [...suite];

const columns: [keyof ErrorParts, string, number][] = [
  ['whiteXPx', 'white x px', 3],
  ['whiteYPx', 'white y px', 3],
  ['slowXPx', 'slow x px', 3],
  ['slowYPx', 'slow y px', 3],
  ['statedXPx', 'stated x px', 3],
  ['statedYPx', 'stated y px', 3],
  ['ratePerS', 'rate 1/s', 1],
  ['scalePct', 'scale %', 2],
  ['statedScalePct', 'stated %', 2],
  ['leanDeg', 'lean deg', 2],
  ['delayMs', 'delay ms', 1],
];
const row = (name: string, cells: readonly string[]): void => {
  const padded = cells.map((cell, i) => cell.padStart(columns[i][1].length));
  process.stdout.write(`${name.padEnd(20)} ${padded.join('  ')}\n`);
};

row(
  'clip',
  columns.map(([, title]) => title),
);
const all: ErrorParts[] = [];
for (const { name, spec } of scenes) {
  if (values.cached) {
    const there = await access(truthFile(path.join(values.cache, `${clipKey(name, spec)}.mp4`))).then(
      () => true,
      () => false,
    );
    if (!there) continue;
  }
  try {
    const { clip, truth } = await cachedClip(name, spec, values.cache);
    const parts = errorParts(await followedOf(clip, truth, values.fresh), truth);
    row(
      name,
      columns.map(([key, , decimals]) => parts[key].toFixed(decimals)),
    );
    all.push(parts);
  } catch (error) {
    process.stdout.write(`${name.padEnd(20)} ${(error as Error).message.split('\n')[0]}\n`);
  }
}
const summary = (title: string, of: (values: number[]) => number | undefined): void =>
  row(
    title,
    columns.map(([key, , decimals]) =>
      (of(all.map((parts) => Math.abs(parts[key]))) ?? NaN).toFixed(decimals),
    ),
  );
summary('median', (v) => median(v));
summary('root mean square', (v) => Math.sqrt(mean(v, (x) => x * x) ?? NaN));
summary('90th percentile', (v) => quantile(v, 0.9));
