import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { findFfmpeg } from '../../../electron/media/find-ffmpeg.ts';
import { argumentsOf, filtersOf, runJob, type FfmpegJob } from '../../../electron/media/ffmpeg-job.ts';
import { ChildError } from '../../../electron/media/process.ts';

const ffmpeg = findFfmpeg();
let folder: string;
beforeAll(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'job '));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const pattern = (seconds: number, name: string): FfmpegJob => ({
  ffmpeg,
  inputs: [{ options: ['-re', '-f', 'lavfi'], source: `testsrc2=size=64x64:duration=${seconds}` }],
  options: ['-loglevel', 'error', '-f', 'matroska'],
  output: path.join(folder, name),
});

describe('a job', () => {
  it('passes its arguments on as they are, in order, spaces and all', () => {
    const job: FfmpegJob = {
      ffmpeg,
      inputs: [
        { options: ['-a', 'b c'], source: 'file:/x y.mp4' },
        { options: [], source: 'file:z.mp4' },
      ],
      options: ['-filter_complex', "[0]a='b c',d[e]", '-map', '[e]'],
      output: 'out file.mp4',
    };
    expect(argumentsOf(job)).toEqual([
      ...['-a', 'b c', '-i', 'file:/x y.mp4', '-i', 'file:z.mp4', '-y'],
      ...['-filter_complex', "[0]a='b c',d[e]", '-map', '[e]', 'out file.mp4'],
    ]);
  });

  it('knows what this ffmpeg can do', async () => {
    const filters = await filtersOf(ffmpeg);
    expect(filters.has('setpts')).toBe(true);
    expect(filters.has('no such filter')).toBe(false);
    // What stands above the list explains its letters.
    expect(filters.has('Timeline')).toBe(false);
    expect(filters.size).toBeGreaterThan(200);
  });

  it('fails with its arguments and the last lines', async () => {
    const job = { ...pattern(1, 'never.mkv'), options: ['-c:v', 'libx264', '-profile:v', 'nonsense'] };
    const error: unknown = await runJob(job).catch((cause: unknown) => cause);
    expect(error).toBeInstanceOf(ChildError);
    expect((error as ChildError).exitCode).toBe(1);
    expect((error as ChildError).args).toContain('nonsense');
    expect((error as ChildError).lastLines.join('\n')).toMatch(/profile/);
  });

  it('is started again once when somebody ended it, or when it stood still', async () => {
    const starts = path.join(folder, 'starts');
    const program = path.join(folder, 'broken');
    const broken = (how: string): void =>
      writeFileSync(
        program,
        `#!/bin/sh\necho x >> '${starts}'\n[ $(wc -l < '${starts}') -gt 1 ] || ${how}\n`,
        {
          mode: 0o755,
        },
      );
    const run = (): Promise<void> =>
      runJob({ ...pattern(1, 'again.mkv'), ffmpeg: program }, { quietMs: 300 });
    for (const how of ['kill -9 $$', 'exec sleep 60']) {
      broken(how);
      await run();
      expect(readFileSync(starts, 'utf8')).toBe('x\nx\n');
      rmSync(starts);
    }
    broken('exit 3');
    await expect(run()).rejects.toMatchObject({ exitCode: 3 });
    expect(readFileSync(starts, 'utf8')).toBe('x\n');
  });

  it('is never started when it was stopped before', async () => {
    const controller = new AbortController();
    const job = runJob(pattern(30, 'unborn.mkv'), { signal: controller.signal });
    controller.abort();
    await expect(job).rejects.toMatchObject({ kind: 'stopped' });
    expect(readdirSync(folder)).not.toContain('unborn.mkv');
  });

  it('ends when it is stopped on the way', async () => {
    const controller = new AbortController();
    const job = { ...pattern(30, 'stopped.mkv'), options: ['-progress', 'pipe:2', '-f', 'matroska'] };
    const onLine = (line: string): void => {
      if (line.startsWith('frame=')) controller.abort();
    };
    await expect(runJob(job, { signal: controller.signal, onLine })).rejects.toMatchObject({
      kind: 'stopped',
    });
    const { size } = statSync(job.output);
    await new Promise((resolve) => setTimeout(resolve, 300));
    expect(statSync(job.output).size).toBe(size);
  });

  it.skipIf(!existsSync('/proc/self/cmdline'))('ends with its parent, even when that is killed', async () => {
    const output = path.join(folder, 'orphan.mkv');
    const program = path.join(import.meta.dirname, 'endless-job.ts');
    const parent = spawn(process.execPath, ['--import', 'tsx', program, ffmpeg, output], {
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    const encoders = (): string[] =>
      readdirSync('/proc').filter((pid) => {
        try {
          const words = readFileSync(`/proc/${pid}/cmdline`, 'utf8').split('\0');
          return words[0] === ffmpeg && words.includes(output);
        } catch {
          return false;
        }
      });
    await once(parent.stdout, 'data');
    expect(encoders()).toHaveLength(1);
    parent.kill('SIGKILL');
    await once(parent, 'exit');
    await expect.poll(encoders, { timeout: 5000 }).toEqual([]);
  });
});
