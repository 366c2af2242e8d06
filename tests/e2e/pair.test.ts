import { execFileSync } from 'node:child_process';
import { mkdtemp, readdir, readFile, rm, stat, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { csvParse } from 'd3-dsv';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  clipFileSchema,
  pairFileSchema,
  repsFileSchema,
  type PairFile,
  type RepsFile,
} from '../../shared-lib/contract/files.ts';
import { runLockstep, type Ended } from './run-command.ts';

const demo = fileURLToPath(new URL('../../demo-data/', import.meta.url));
let folder: string;
let out: string;
let ended: Ended;
const read = (name: string): Promise<string> => readFile(path.join(out, name), 'utf8');
const json = async (name: string): Promise<unknown> => JSON.parse(await read(name)) as unknown;
const args = ['pair', '--reference', 'bench-practice.mp4', '--today', 'bench-heavy.mp4', '--lift', 'bench'];
const loads = ['--reference-kg', '90', '--today-kg', '107.5'];

interface Truth {
  frames: { px: number; py: number }[];
  reps: { start_s: number; bottom_s: number; lockout_s: number; measures: Record<string, number | null> }[];
}
const truthOf = async (name: string): Promise<Truth> =>
  JSON.parse(await readFile(path.join(demo, `${name}.truth.json`), 'utf8')) as Truth;

beforeAll(async () => {
  folder = await mkdtemp(path.join(tmpdir(), 'lockstep pair '));
  out = path.join(folder, 'out');
  ended = await runLockstep([...args, ...loads, '--out', out], { cwd: demo });
}, 300_000);

afterAll(async () => {
  await rm(folder, { recursive: true, force: true });
});

describe('pair on the demo clips', () => {
  it('ends well and says nothing', () => {
    expect(ended).toEqual({ status: 0, stdout: '', stderr: '' });
  });

  it('writes what it promises and nothing else, with a manifest', async () => {
    const entries = await readdir(out, { recursive: true, withFileTypes: true });
    const files = entries
      .filter((e) => e.isFile())
      .map((e) => path.relative(out, path.join(e.parentPath, e.name)));
    const per = ['clip.json', 'reps.json', 'trace.csv'];
    const promised = [
      ...per.map((f) => `reference/${f}`),
      ...per.map((f) => `today/${f}`),
      'changes.csv',
      'page.html',
      'pair.json',
      'side-by-side.mp4',
    ].sort();
    expect(files.sort()).toEqual([...promised, 'manifest.json'].sort());
    const manifest = (await json('manifest.json')) as {
      schema: number;
      files: { file: string; sha256: string }[];
    };
    expect(manifest.schema).toBe(1);
    expect(manifest.files.map((f) => f.file)).toEqual(promised);
    for (const { sha256 } of manifest.files) expect(sha256).toMatch(/^[0-9a-f]{64}$/);
  });

  it('calls the planted differences and nothing else', async () => {
    const pair: PairFile = pairFileSchema.parse(await json('pair.json'));
    const called = pair.changes.filter((c) => c.call !== null);
    expect(called).toHaveLength(6);
    const differs = called.filter((c) => c.call === 'differs' || c.call === 'changed').map((c) => c.name);
    expect(differs.sort()).toEqual(['descent_s', 'drift_bottom_m', 'slowest_mps']);
    for (const change of pair.changes) {
      if (change.change === null) continue;
      expect(change.lo95!).toBeLessThanOrEqual(change.change);
      expect(change.hi95!).toBeGreaterThanOrEqual(change.change);
    }
  });

  it('finds the changes that were rendered, within their intervals', async () => {
    const pair = pairFileSchema.parse(await json('pair.json'));
    const before = (await truthOf('bench-practice')).reps[0].measures;
    const after = (await truthOf('bench-heavy')).reps[0].measures;
    for (const name of [
      'drift_bottom_m',
      'drift_lockout_m',
      'descent_s',
      'pause_s',
      'bow_m',
      'slowest_mps',
    ]) {
      const change = pair.changes.find((c) => c.name === name)!;
      const truth = after[name]! - before[name]!;
      expect(change.lo95, name).toBeLessThanOrEqual(truth);
      expect(change.hi95, name).toBeGreaterThanOrEqual(truth);
    }
  });

  it.each([
    ['reference', 'bench-practice'],
    ['today', 'bench-heavy'],
  ])('measures the %s clip as it was rendered', async (side, name) => {
    const truth = await truthOf(name);
    clipFileSchema.parse(await json(`${side}/clip.json`));
    const reps: RepsFile = repsFileSchema.parse(await json(`${side}/reps.json`));
    expect(reps.reps).toHaveLength(1);
    const [rep] = reps.reps;
    const [real] = truth.reps;
    expect(Math.abs(rep.start_s! - real.start_s)).toBeLessThan(0.03);
    expect(Math.abs(rep.bottom_s! - real.bottom_s)).toBeLessThan(0.03);
    expect(Math.abs(rep.lockout_s! - real.lockout_s)).toBeLessThan(0.03);
    const mean = rep.measures.mean_drive_mps!;
    expect(Math.abs(mean.value / real.measures.mean_drive_mps! - 1)).toBeLessThan(0.02);
    expect(mean.lo95).toBeLessThanOrEqual(real.measures.mean_drive_mps!);
    expect(mean.hi95).toBeGreaterThanOrEqual(real.measures.mean_drive_mps!);

    const rows = csvParse(await read(`${side}/trace.csv`));
    expect(rows.columns.join(',')).toBe('frame,pts_s,t_s,px,py,x_m,y_m,sx_m,sy_m,confidence,state');
    expect(rows).toHaveLength(truth.frames.length);
    const off = rows.map((row, i) =>
      Math.hypot(Number(row.px) - truth.frames[i].px, Number(row.py) - truth.frames[i].py),
    );
    expect(Math.sqrt(off.reduce((s, d) => s + d * d, 0) / off.length)).toBeLessThan(0.5);
    expect(Math.max(...off)).toBeLessThan(2);
  });

  it('writes a page that needs nothing else', async () => {
    const page = await read('page.html');
    expect(page).toMatch(/^<!doctype html>/i);
    expect(page).not.toMatch(/(src|href)="https?:/);
    expect(page).toContain('side-by-side.mp4');
    expect(page).toMatch(/licensed clinician/);
    expect(page.length).toBeLessThan(6e6);
  });

  it('writes a film that plays everywhere', async () => {
    const film = path.join(out, 'side-by-side.mp4');
    const report = JSON.parse(
      execFileSync('ffprobe', ['-v', 'error', '-show_streams', '-of', 'json', film]).toString(),
    ) as {
      streams: { codec_name: string; pix_fmt: string; width: number; height: number; nb_frames: string }[];
    };
    expect(report.streams).toHaveLength(1);
    expect(report.streams[0]).toMatchObject({
      codec_name: 'h264',
      pix_fmt: 'yuv420p',
      width: 1920,
      height: 1080,
    });
    const head = await readFile(film);
    expect(head.indexOf('moov')).toBeLessThan(head.indexOf('mdat'));
  });

  it('writes the same again over its own files, but not over a changed one', async () => {
    const before = await read('pair.json');
    const { mtimeMs } = await stat(path.join(out, 'pair.json'));
    const again = await runLockstep([...args, ...loads, '--out', out], { cwd: demo });
    expect(again.status).toBe(0);
    expect(await read('pair.json')).toBe(before);
    expect((await stat(path.join(out, 'pair.json'))).mtimeMs).toBeGreaterThan(mtimeMs);
    await writeFile(path.join(out, 'changes.csv'), 'my own notes');
    const refused = await runLockstep([...args, ...loads, '--out', out], { cwd: demo });
    expect(refused.status).toBe(2);
    expect(refused.stderr).toMatch(/changes\.csv is in the way: it was changed/);
    expect(await read('changes.csv')).toBe('my own notes');
  }, 300_000);
});
