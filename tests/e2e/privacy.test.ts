import { execFileSync, spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { homedir, tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { findTools } from '../../electron/media/find-ffmpeg.ts';
import { canWatch, touchedIn, watched, type Touched } from '../fuzz/system-calls.ts';

/** The whole job on clips that tell where and with what they were filmed, every call to the system written down. */
const root = fileURLToPath(new URL('../../', import.meta.url));
const tools = findTools();
/** What phones write into their clips, invented. */
const told = {
  'com.apple.quicktime.location.ISO6709': '+48.1234+011.5678/',
  'com.apple.quicktime.make': 'Inventphone',
  'com.apple.quicktime.model': 'Inventphone Seven',
  'com.apple.quicktime.creationdate': '2019-07-06T05:04:03+0200',
  artist: 'Private Person',
};
let folder: string;
let touched: Touched | null = null;

beforeAll(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'lockstep-privacy-'));
  for (const name of ['practice', 'heavy']) {
    const tags = Object.entries(told).flatMap(([key, value]) => ['-metadata', `${key}=${value}`]);
    const clip = ['-i', path.join(root, 'demo-data', `bench-${name}.mp4`), '-c', 'copy', '-map', '0'];
    const more = ['-movflags', 'use_metadata_tags', ...tags, path.join(folder, `${name}.mov`)];
    execFileSync(tools.ffmpeg, ['-v', 'error', '-nostdin', ...clip, ...more]);
  }
  const temp = path.join(folder, 'temp');
  mkdirSync(temp);
  const clips = ['--reference', path.join(folder, 'practice.mov'), '--today', path.join(folder, 'heavy.mov')];
  const words = ['pair', ...clips, '--lift', 'bench', '--out', path.join(folder, 'out')];
  const command = [process.execPath, path.join(root, 'dist', 'cli.js'), ...words];
  const log = path.join(folder, 'calls');
  const [program, args] = canWatch() ? watched(log, command) : [command[0], command.slice(1)];
  const ended = spawnSync(program, args, {
    env: { ...process.env, TMPDIR: temp },
    cwd: folder,
    encoding: 'utf8',
  });
  expect(ended.stderr).toBe('');
  expect(readdirSync(temp)).toEqual([]);
  if (canWatch()) touched = touchedIn(readFileSync(log, 'utf8'), folder);
}, 300_000);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('the whole job', () => {
  it.runIf(canWatch())('reaches no address, not even of this machine', () => {
    expect(touched!.reached).toEqual([]);
    // The log did see the work.
    expect(touched!.read.some((file) => file.endsWith('practice.mov'))).toBe(true);
  });

  it.runIf(canWatch())('writes where it was told to and nowhere else', () => {
    const outside = touched!.written.filter(
      (file) => path.relative(folder, file).startsWith('..') && !/^\/(dev|proc)\//.test(file),
    );
    expect(outside).toEqual([]);
    expect(touched!.written.some((file) => file.startsWith(path.join(folder, 'out')))).toBe(true);
  });

  it('hands back nothing of where and with what the clips were filmed, and no path of this machine', () => {
    const files = readdirSync(path.join(folder, 'out'), { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile())
      .map((entry) => path.join(entry.parentPath, entry.name));
    expect(files.length).toBeGreaterThan(8);
    const secrets = ['48.1234', '011.5678', 'Inventphone', '2019-07-06', 'Private Person'];
    const paths = [folder, root, homedir() === '/' ? folder : `${homedir()}/`];
    for (const file of files) {
      const bytes = readFileSync(file).toString('latin1');
      for (const secret of secrets) expect(bytes.includes(secret), `${secret} in ${file}`).toBe(false);
      // What the coach keeps names its clip; what is handed on does not.
      const handedOn = /page\.html|side-by-side\.mp4|\.csv$|pair\.json/.test(file);
      for (const each of handedOn ? paths : [])
        expect(bytes.includes(each), `${each} in ${file}`).toBe(false);
    }
  });

  it('makes a film that tells nothing but how it is coded', () => {
    const film = path.join(folder, 'out', 'side-by-side.mp4');
    const report = execFileSync(
      tools.ffprobe!,
      ['-v', 'error', '-show_entries', 'format_tags:stream_tags', '-of', 'json', film],
      { encoding: 'utf8' },
    );
    const tags = [...report.matchAll(/"([\w.]+)": "/g)].map((match) => match[1]);
    const ofCoding = [
      'major_brand',
      'minor_version',
      'compatible_brands',
      'encoder',
      'language',
      'handler_name',
      'vendor_id',
    ];
    expect(tags.filter((tag) => !ofCoding.includes(tag))).toEqual([]);
  });
});
