import { mkdir } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { parseArgs } from 'node:util';
import { median, quantile } from 'd3-array';
import { drawScene } from '../../demo-data/draw-scene.ts';
import { renderClip, truthFile } from '../../demo-data/render-clip.ts';
import { suite, suiteClip } from '../../demo-data/suite.ts';
import { readFile } from 'node:fs/promises';
import { truthSchema, type Truth } from '../../demo-data/truth/schema.ts';
import type { Lift } from '../../shared-lib/contract/lift.ts';
import { scoreClip, type ClipScore } from './score-clip.ts';

/**
 * Prints how far the measuring is from rendered truth: the suite's scenes one by one and, with --scenes N,
 * N scenes drawn at random from --seed on, filmed from the side. Films are kept in --cache.
 */
const { values } = parseArgs({
  options: {
    scenes: { type: 'string', default: '0' },
    seed: { type: 'string', default: '5000' },
    cache: { type: 'string', default: path.join(tmpdir(), 'lockstep-accuracy') },
    only: { type: 'string' },
  },
});
await mkdir(values.cache, { recursive: true });

const columns: [keyof ClipScore, string, number][] = [
  ['rmsMm', 'path RMS mm', 2],
  ['worstMm', 'worst mm', 1],
  ['scalePct', 'scale %', 2],
  ['meanDrivePct', 'mean v %', 2],
  ['peakDrivePct', 'peak v %', 2],
  ['slowestMps', 'slowest m/s', 3],
  ['startMs', 'start ms', 0],
  ['bottomMs', 'bottom ms', 0],
  ['driveStartMs', 'drive ms', 0],
  ['lockoutMs', 'lockout ms', 0],
];
const nameWidth = 20;

function row(name: string, reps: string, cells: readonly string[]): void {
  const padded = cells.map((cell, i) => cell.padStart(columns[i][1].length));
  process.stdout.write(`${name.padEnd(nameWidth)} ${reps.padStart(5)}  ${padded.join('  ')}\n`);
}
const figure = (value: number, decimals: number): string =>
  Number.isFinite(value) ? value.toFixed(decimals) : '-';
const scoreRow = (name: string, s: ClipScore): void =>
  row(
    name,
    `${s.repsFound}/${s.repsTrue}`,
    columns.map(([key, , decimals]) => figure(s[key], decimals)),
  );

async function scored(name: string, clip: string, truth: Truth): Promise<ClipScore | null> {
  try {
    const score = await scoreClip(clip, truth);
    scoreRow(name, score);
    return score;
  } catch (error) {
    process.stdout.write(`${name.padEnd(nameWidth)} ${(error as Error).message.split('\n')[0]}\n`);
    return null;
  }
}

function summary(
  title: string,
  scores: readonly ClipScore[],
  of: (values: number[]) => number | undefined,
): void {
  row(
    title,
    '',
    columns.map(([key, , decimals]) => {
      const finite = scores.map((s) => Math.abs(s[key])).filter(Number.isFinite);
      return figure(of(finite) ?? NaN, decimals);
    }),
  );
}

row(
  'scene',
  'reps',
  columns.map(([, title]) => title),
);
const fixed: ClipScore[] = [];
for (const { name } of suite) {
  if (values.only !== undefined && !name.includes(values.only)) continue;
  const { clip, truth } = await suiteClip(name, values.cache);
  const score = await scored(name, clip, truth);
  if (score) fixed.push(score);
}
summary('median', fixed, (v) => median(v));
summary('worst', fixed, (v) => Math.max(...v));

const lifts: readonly Lift[] = ['squat', 'bench', 'deadlift'];
const drawn: ClipScore[] = [];
const scenes = Number(values.scenes);
for (let k = 0; k < scenes; k++) {
  const seed = Number(values.seed) + k;
  const name = `${lifts[k % 3]}-${seed}`;
  const clip = path.join(values.cache, `${name}.mp4`);
  const kept = await readFile(truthFile(clip), 'utf8').catch(() => null);
  const truth = kept
    ? truthSchema.parse(JSON.parse(kept))
    : await renderClip(drawScene(seed, { lift: lifts[k % 3] }), clip);
  const score = await scored(name, clip, truth);
  if (score) drawn.push(score);
}
if (scenes > 0) {
  summary('median', drawn, (v) => median(v));
  summary('95th percentile', drawn, (v) => quantile(v, 0.95));
  process.stdout.write(`${drawn.length} of ${scenes} scenes measured without a seed.\n`);
}
