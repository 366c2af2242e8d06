import { execFileSync } from 'node:child_process';
import {
  chmod,
  copyFile,
  mkdir,
  mkdtemp,
  readdir,
  readFile,
  rm,
  truncate,
  writeFile,
} from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { runLockstep, type Ended } from './run-command.ts';

const demo = fileURLToPath(new URL('../../demo-data/', import.meta.url));
const practice = path.join(demo, 'bench-practice.mp4');
const heavy = path.join(demo, 'bench-heavy.mp4');
let folder: string;
const at = (name: string): string => path.join(folder, name);

function ffmpeg(...args: string[]): void {
  execFileSync('ffmpeg', ['-v', 'error', '-y', ...args]);
}

beforeAll(async () => {
  folder = await mkdtemp(path.join(tmpdir(), 'lockstep bad input é '));
  await writeFile(at('empty.mp4'), '');
  await writeFile(at('words.mp4'), 'These are words and no video. '.repeat(200));
  await mkdir(at('folder.mp4'));
  ffmpeg('-f', 'lavfi', '-i', 'sine=d=1', at('sound.mp4'));
  ffmpeg('-f', 'lavfi', '-i', 'testsrc2=s=320x240:d=0.04:r=25', at('one-frame.mp4'));
  ffmpeg('-f', 'lavfi', '-i', 'testsrc2=s=320x240:d=3:r=25', '-pix_fmt', 'yuv420p', at('no-bar.mp4'));
  ffmpeg('-f', 'lavfi', '-i', 'color=gray:s=640x360:d=2:r=30', '-pix_fmt', 'yuv420p', at('grey.mp4'));
  await copyFile(practice, at('truncated.mp4'));
  await truncate(at('truncated.mp4'), 20_000);
  await writeFile(at('playlist.mp4'), `#EXTM3U\n#EXTINF:1,\n${practice}\n`);
  await copyFile(practice, at('locked.mp4'));
  await chmod(at('locked.mp4'), 0);
});

afterAll(async () => {
  await rm(folder, { recursive: true, force: true });
});

/** Two lines on standard error, no stack, nothing on standard output, nothing left behind. */
async function expectRefusal(ended: Ended, status: number, what: RegExp): Promise<void> {
  expect(ended.stderr).toMatch(what);
  expect(ended.status).toBe(status);
  expect(ended.stdout).toBe('');
  const lines = ended.stderr.trimEnd().split('\n');
  expect(lines).toHaveLength(2);
  for (const line of lines) expect(line).toMatch(/^\S.*[.!]$/);
  expect(ended.stderr).not.toMatch(/\bat .*:\d+:\d+/);
  expect(await readdir(folder)).not.toContain('out');
}

const follow = (clip: string, ...more: string[]): Promise<Ended> =>
  runLockstep(['follow', clip, '--lift', 'bench', '--out', at('out'), ...more]);

describe('a clip that cannot be used ends with status 3', () => {
  it.each([
    ['missing.mp4', /missing\.mp4/],
    ['empty.mp4', /empty/],
    ['words.mp4', /words\.mp4/],
    ['folder.mp4', /folder/],
    ['sound.mp4', /sound\.mp4/],
    ['one-frame.mp4', /one-frame\.mp4/],
    ['truncated.mp4', /truncated\.mp4/],
    ['playlist.mp4', /playlist\.mp4/],
  ])('%s', async (name, what) => {
    await expectRefusal(await follow(at(name)), 3, what);
  });

  // Root reads everything.
  it.skipIf(process.getuid?.() === 0)('a file that may not be read', async () => {
    await expectRefusal(await follow(at('locked.mp4')), 3, /locked\.mp4/);
  });
});

describe('a clip without a bar ends with status 4', () => {
  it.each(['no-bar.mp4', 'grey.mp4'])('%s', async (name) => {
    // The test pattern has shapes that move up and down, which may be taken for a disc but make no rep.
    await expectRefusal(await follow(at(name)), 4, /No (bar|whole bench press) was found/);
  });

  it('a seed beside any disc', async () => {
    await expectRefusal(await follow(at('grey.mp4'), '--seed', '0.5,100,100'), 4, /No disc was found/);
  });
});

describe('words that make no sense end with status 2', () => {
  const pair = ['pair', '--reference', practice, '--today', heavy, '--lift', 'bench'];
  it.each([
    ['no command', []],
    ['an unknown command', ['measure', practice]],
    ['an unknown option', ['follow', practice, '--lift', 'bench', '--out', 'x', '--colour', 'red']],
    ['an unknown lift', ['follow', practice, '--lift', 'curl', '--out', 'x']],
    ['no lift', ['follow', practice, '--out', 'x']],
    ['no folder', ['follow', practice, '--lift', 'bench']],
    ['no clip', ['follow', '--lift', 'bench', '--out', 'x']],
    ['two clips', ['follow', practice, heavy, '--lift', 'bench', '--out', 'x']],
    ['a disc of no size', ['follow', practice, '--lift', 'bench', '--out', 'x', '--disc-mm', '0']],
    ['a disc in words', ['follow', practice, '--lift', 'bench', '--out', 'x', '--disc-mm', 'big']],
    ['a seed of two numbers', ['follow', practice, '--lift', 'bench', '--out', 'x', '--seed', '1,2']],
    ['a negative seed', ['follow', practice, '--lift', 'bench', '--out', 'x', '--seed', '-1,2,3']],
    ['a level plumb line', ['follow', practice, '--lift', 'bench', '--out', 'x', '--plumb', '0,100,400,100']],
    ['slow motion of nothing', ['follow', practice, '--lift', 'bench', '--out', 'x', '--slow-motion', '0']],
    ['a direction that is none', ['follow', practice, '--lift', 'bench', '--out', 'x', '--facing', 'up']],
    ['a rep of no number', [...pair, '--out', 'x', '--today-rep', '0']],
    ['an option twice', [...pair, '--out', 'x', '--out', 'y']],
    ['a missing reference', ['pair', '--today', heavy, '--lift', 'bench', '--out', 'x']],
  ])('%s', async (_, args) => {
    await expectRefusal(await runLockstep(args, { cwd: folder }), 2, /./);
    expect(await readdir(folder)).not.toContain('x');
  });

  it('a rep that is not there', async () => {
    const ended = await runLockstep([...pair, '--out', at('out'), '--today-rep', '7']);
    await expectRefusal(ended, 2, /holds a single rep, not 7/);
  });

  it('a folder where a file stands', async () => {
    const ended = await runLockstep(['follow', practice, '--lift', 'bench', '--out', at('words.mp4')]);
    await expectRefusal(ended, 2, /words\.mp4/);
    expect(await readFile(at('words.mp4'), 'utf8')).toMatch(/^These are words/);
  });

  it('a folder that holds a file of the same name by somebody else', async () => {
    await mkdir(at('mine'));
    await writeFile(at('mine/reps.json'), 'mine');
    const ended = await runLockstep(['follow', practice, '--lift', 'bench', '--out', at('mine')]);
    await expectRefusal(ended, 2, /reps\.json is in the way/);
    expect(await readFile(at('mine/reps.json'), 'utf8')).toBe('mine');
    expect(await readdir(at('mine'))).toEqual(['reps.json']);
  });
});

describe('stopping', () => {
  it('ends with status 130 and leaves nothing behind', async () => {
    const ended = await runLockstep(
      ['pair', '--reference', practice, '--today', heavy, '--lift', 'bench', '--out', at('out')],
      {
        // Before it is ready for one a signal just ends it: a busy machine takes a while.
        onStart: (kill) => setTimeout(() => kill('SIGINT'), 4000),
      },
    );
    await expectRefusal(ended, 130, /Stopped/);
  });
});
