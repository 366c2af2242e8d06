import { spawnSync } from 'node:child_process';
import {
  chmodSync,
  copyFileSync,
  existsSync,
  mkdirSync,
  readFileSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { findFfmpeg, findFfprobe, findTools } from '../../../electron/media/find-ffmpeg.ts';
import * as fixture from './fixtures.ts';

const folder = fixture.temporaryFolder();
const onPosix = process.platform !== 'win32';
const none = { ffmpeg: () => null, ffprobe: () => null };

/** A folder with programs that do nothing. */
function programs(name: string, ...files: string[]): string {
  const where = path.join(folder, name);
  mkdirSync(where, { recursive: true });
  for (const file of files) writeFileSync(path.join(where, file), '#!/bin/sh\nexit 0\n', { mode: 0o755 });
  return where;
}

describe.runIf(onPosix)('finding ffmpeg', () => {
  const system = programs('system', 'ffmpeg', 'ffprobe');
  const own = path.join(programs('own', 'ffmpeg', 'ffprobe'), 'ffmpeg');
  const carried = path.join(programs('carried', 'ffmpeg', 'ffprobe'), 'ffmpeg');
  const packaged = { ffmpeg: () => carried, ffprobe: () => carried.replace('ffmpeg', 'ffprobe') };

  it('what is passed goes before the environment, that before a package, that before the system', () => {
    const env = { PATH: system, LOCKSTEP_FFMPEG: own };
    expect(findFfmpeg({ ffmpeg: carried, env, packaged: none })).toBe(carried);
    expect(findFfmpeg({ env, packaged })).toBe(own);
    expect(findFfmpeg({ env: { PATH: system }, packaged })).toBe(carried);
    expect(findFfmpeg({ env: { PATH: `/nowhere:${system}` }, packaged: none })).toBe(
      path.join(system, 'ffmpeg'),
    );
    expect(findFfprobe({ env: { PATH: system }, packaged: none })).toBe(path.join(system, 'ffprobe'));
  });

  it('a packaged binary that lost its x bit gets it back', () => {
    chmodSync(carried, 0o644);
    expect(findFfmpeg({ env: { PATH: system }, packaged })).toBe(carried);
    expect(statSync(carried).mode & 0o777).toBe(0o755);
  });

  it('without one it says in a line what to install', () => {
    const missing = { env: { PATH: programs('nothing') }, packaged: none };
    expect(() => findFfmpeg(missing)).toThrow(expect.objectContaining({ kind: 'unusableFile' }) as Error);
    expect(() => findTools(missing)).toThrow(/\nInstall ffmpeg [^\n]*apt-get install ffmpeg[^\n]*$/);
    expect(findFfprobe(missing)).toBeNull();
  });

  it('a path that was set and is wrong is said, not passed over', () => {
    const env = { PATH: system, LOCKSTEP_FFMPEG: path.join(folder, 'gone') };
    expect(() => findFfmpeg({ env, packaged })).toThrow(/gone, is not a program/);
  });
});

describe.runIf(onPosix)('seeing to the tools before the start', () => {
  // A copy away from node_modules: no package carries an ffmpeg there.
  const script = path.join(folder, 'ensure-tools.mjs');
  copyFileSync(path.join(import.meta.dirname, '../../../electron/media/ensure-tools.mjs'), script);
  const ensure = (searchPath: string, ...args: string[]) =>
    spawnSync(process.execPath, [script, ...args], { encoding: 'utf8', env: { PATH: searchPath } });

  it('is silent where they are', () => {
    const result = ensure(programs('both', 'ffmpeg', 'chromium'), '--start', '--browser');
    expect(result).toMatchObject({ status: 0, stdout: '', stderr: '' });
  });

  it('says in one line what to install and ends a start with 3', () => {
    const empty = programs('empty');
    const start = ensure(empty, '--start');
    expect(start).toMatchObject({ status: 3, stdout: '' });
    expect(start.stderr).toMatch(/^ffmpeg is missing[^\n]*LOCKSTEP_FFMPEG[^\n]*\n$/);
    expect(ensure(empty).status).toBe(0);
  });

  const isRoot = onPosix && process.getuid?.() === 0 && process.platform === 'linux';
  it.runIf(isRoot)('installs what is missing with apt-get where it may, and only that', () => {
    const where = programs('debian', 'chromium');
    const log = path.join(where, 'log');
    const apt = `#!/bin/sh
echo "$@" >> '${log}'
case "$*" in *install*ffmpeg) printf '#!/bin/sh\\nexit 0\\n' > '${where}/ffmpeg'; /bin/chmod 755 '${where}/ffmpeg';; esac
`;
    writeFileSync(path.join(where, 'apt-get'), apt, { mode: 0o755 });
    const result = ensure(where, '--start', '--browser');
    expect(result).toMatchObject({ status: 0, stdout: '' });
    expect(existsSync(path.join(where, 'ffmpeg'))).toBe(true);
    expect(readFileSync(log, 'utf8').trim().split('\n')).toEqual([
      '--version',
      '-qq update',
      '-qq install -y --no-install-recommends ffmpeg',
    ]);
  });
});
