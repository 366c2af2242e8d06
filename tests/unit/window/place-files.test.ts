import { mkdir, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { handBackFolder } from '../../../electron/desk/hand-back.ts';
import type { Desk } from '../../../electron/desk/handlers.ts';
import { placeFiles } from '../../../electron/window/place-files.ts';

describe('files that the window puts into a folder', () => {
  let root: string;
  let chosen: string;
  let desk: Pick<Desk, 'reviews'>;
  const message = { id: 'a-review', names: ['page.html', 'changes.csv'] };
  const place = (said: unknown, folder: string | null = chosen) =>
    placeFiles(said, desk, () => Promise.resolve(folder));

  beforeEach(async () => {
    root = await mkdtemp(path.join(tmpdir(), 'lockstep-place-'));
    chosen = path.join(root, 'chosen');
    const review = path.join(root, 'a-review');
    await mkdir(path.join(review, handBackFolder), { recursive: true });
    await mkdir(chosen);
    for (const name of message.names)
      await writeFile(path.join(review, handBackFolder, name), `made ${name}`);
    desk = { reviews: { folderOf: () => review } } as unknown as Pick<Desk, 'reviews'>;
  });
  afterEach(() => rm(root, { recursive: true, force: true }));

  it('are there with what was made, and what else lies there stays', async () => {
    await writeFile(path.join(chosen, 'mine.txt'), 'mine');
    expect(await place(message)).toEqual({ kind: 'done', output: chosen });
    expect(await readFile(path.join(chosen, 'page.html'), 'utf8')).toBe('made page.html');
    expect((await readdir(chosen)).sort()).toEqual(['changes.csv', 'manifest.json', 'mine.txt', 'page.html']);
    // A second time replaces its own.
    expect(await place(message)).toEqual({ kind: 'done', output: chosen });
  });

  it('are none where one of them would replace another’s file, which stays', async () => {
    await writeFile(path.join(chosen, 'changes.csv'), 'somebody else’s');
    const answer = await place(message);
    expect(answer).toMatchObject({ kind: 'failed', failure: { kind: 'usage' } });
    expect(await readFile(path.join(chosen, 'changes.csv'), 'utf8')).toBe('somebody else’s');
    expect(await readdir(chosen)).toEqual(['changes.csv']);
  });

  it('are none where one of them was not made', async () => {
    const answer = await place({ ...message, names: ['page.html', 'side-by-side.mp4'] });
    expect(answer).toMatchObject({
      kind: 'failed',
      failure: {
        what: 'The files could not be copied.',
        advice: 'Make them again, or choose another folder.',
      },
    });
    expect(await readdir(chosen)).toEqual([]);
  });

  it('are none where no folder was chosen', async () => {
    expect(await place(message, null)).toEqual({ kind: 'done', output: null });
  });

  it.each([
    ['a name that leads elsewhere', { id: 'a-review', names: ['../../review.json'] }],
    ['a review that leads elsewhere', { id: '../other', names: ['page.html'] }],
    ['no names', { id: 'a-review', names: [] }],
    ['nothing', null],
  ])('are refused before a folder is asked for: %s', async (_, said) => {
    let asked = 0;
    const answer = await placeFiles(said, desk, () => Promise.resolve(String((asked += 1))));
    expect(answer).toMatchObject({ kind: 'failed', failure: { what: 'There are no such files.' } });
    expect(asked).toBe(0);
  });
});
