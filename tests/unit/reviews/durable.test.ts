import { spawnSync } from 'node:child_process';
import { chmod, mkdtemp, readdir, readFile, rename, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { Readable } from 'node:stream';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { ClipShelf } from '../../../electron/reviews/clip-shelf.ts';
import { revisionsToDrop } from '../../../electron/reviews/history.ts';
import { ReviewFolder } from '../../../electron/reviews/review-folder.ts';
import type { Review } from '../../../shared-lib/contract/review.ts';
import { drawsOf } from '../../fuzz/mutate.ts';
import { killWhileSaving } from './killed.ts';

let root: string;
let reviews: ReviewFolder;
let review: Review;
let other: Review;
const fileOf = ({ id }: Review, ...name: string[]): string => path.join(root, 'reviews', id, ...name);
const save = async (title: string): Promise<number | null> => {
  const { revision } = await reviews.open(review.id);
  return reviews.keep({ ...review, title, revision });
};

beforeEach(async () => {
  root = await mkdtemp(path.join(tmpdir(), 'lockstep-durable-'));
  reviews = new ReviewFolder(root);
  review = await reviews.start(new Date(0));
  other = await reviews.start(new Date(1000));
});
afterEach(async () => {
  // Whatever happened to one review, the other is as it was.
  if (await reviews.has(other.id)) expect(await reviews.open(other.id)).toEqual(other);
  await rm(root, { recursive: true, force: true });
});

describe('a review', () => {
  it('is whole whenever the program is killed, and no save that was kept is lost', async () => {
    const { kills, saves, lost, unreadable } = await killWhileSaving(root, 30, drawsOf(7));
    expect({ lost, unreadable }).toEqual({ lost: 0, unreadable: 0 });
    expect(saves).toBeGreaterThanOrEqual(30);
    expect(kills).toBeGreaterThan(0);
  });

  it('that was killed between two steps of a save is the newer one', async () => {
    await save('first');
    const old = await readFile(fileOf(review, 'review.json'), 'utf8');
    await save('second');
    await writeFile(fileOf(review, 'review.json'), old);
    expect((await reviews.open(review.id)).title).toBe('second');
  });

  it.each([
    ['cut short', (text: string) => text.slice(0, 40)],
    ['emptied', () => ''],
    ['full of zeros', (text: string) => '\0'.repeat(text.length)],
    ['another thing', () => '{"schema":2}'],
  ])('whose file was %s is mended from its last save, the damage kept beside it', async (_, damage) => {
    await save('last');
    const whole = await readFile(fileOf(review, 'review.json'), 'utf8');
    await writeFile(fileOf(review, 'review.json'), damage(whole));
    expect((await reviews.open(review.id)).title).toBe('last');
    expect(await readFile(fileOf(review, 'review-damaged.json'), 'utf8')).toBe(damage(whole));
    expect(await save('after')).toBe(2);
    expect(JSON.parse(await readFile(fileOf(review, 'review.json'), 'utf8'))).toMatchObject({
      title: 'after',
    });
  });

  it('whose file and last save are both damaged is the save before', async () => {
    await save('one');
    await save('two');
    await writeFile(fileOf(review, 'review.json'), 'x');
    await writeFile(fileOf(review, 'history', '2.json'), 'x');
    expect((await reviews.open(review.id)).title).toBe('one');
  });

  it('that a newer Lockstep wrote is neither mended nor overwritten', async () => {
    const text = JSON.stringify({ ...review, schema: 99 });
    await writeFile(fileOf(review, 'review.json'), text);
    await expect(reviews.open(review.id)).rejects.toThrow('a newer Lockstep wrote it');
    await expect(reviews.keep(review)).rejects.toThrow('a newer Lockstep wrote it');
    expect(await readFile(fileOf(review, 'review.json'), 'utf8')).toBe(text);
  });

  it('can be taken back to any save, and forth again', async () => {
    await save('one');
    await save('two');
    expect((await reviews.history(review.id)).map(({ revision }) => revision)).toEqual([2, 1, 0]);
    expect(await reviews.takeBack(review.id, 1)).toMatchObject({ title: 'one', revision: 3 });
    expect(await reviews.takeBack(review.id, 2)).toMatchObject({ title: 'two', revision: 4 });
    await expect(reviews.takeBack(review.id, 77)).rejects.toThrow('is not kept any more');
  });

  it('opened by two programs is overwritten by neither', async () => {
    const second = new ReviewFolder(root);
    const [mine, theirs] = await Promise.all([reviews.open(review.id), second.open(review.id)]);
    const kept = await Promise.all([
      reviews.keep({ ...mine, title: 'mine' }),
      second.keep({ ...theirs, title: 'theirs' }),
    ]);
    expect(kept.filter((revision) => revision === 1)).toHaveLength(1);
    expect(kept.filter((revision) => revision === null)).toHaveLength(1);
    expect((await reviews.open(review.id)).title).toBe(kept[0] === 1 ? 'mine' : 'theirs');
  });

  it('whose folder was taken away is not made anew, and saved once the folder is back', async () => {
    await rename(path.join(root, 'reviews'), path.join(root, 'away'));
    await expect(reviews.keep(review)).rejects.toMatchObject({
      what: expect.stringMatching(/the folder is not there any more\.$/) as string,
    });
    expect(await readdir(root)).toEqual(['away']);
    await rename(path.join(root, 'away'), path.join(root, 'reviews'));
    expect(await reviews.keep(review)).toBe(1);
  });

  // Root writes everywhere.
  it.skipIf(process.getuid?.() === 0)('in a folder that may only be read is said to be', async () => {
    await chmod(fileOf(review), 0o555);
    await chmod(fileOf(review, 'history'), 0o555);
    await expect(reviews.keep(review)).rejects.toThrow('the folder may not be written');
    await chmod(fileOf(review), 0o755);
    await chmod(fileOf(review, 'history'), 0o755);
  });

  it.runIf(process.platform === 'linux')(
    'that no longer fits on the disk says so and stays as it was',
    async () => {
      const { revision } = await reviews.open(review.id);
      // No file may grow beyond 512 bytes; the signal that would end the program is turned into an error, as on a full disk.
      const script = 'trap "" XFSZ; ulimit -f 1; exec "$@"';
      const saver = path.join(import.meta.dirname, 'saver.ts');
      const args = ['-c', script, 'full', process.execPath, '--import', 'tsx', saver, root, review.id, '1'];
      const { stderr, status } = spawnSync('sh', args, {
        encoding: 'utf8',
        env: { ...process.env, TSX_DISABLE_CACHE: '1' },
      });
      expect(status).not.toBe(0);
      expect(stderr).toMatch(/The review cannot be kept in .*: the disk takes no more\./);
      expect((await reviews.open(review.id)).revision).toBe(revision);
      expect(await readdir(fileOf(review, 'history'))).toEqual(['0.json']);
    },
  );
});

describe('the history', () => {
  it('keeps the newest forty and every twentieth before', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 400 }), (last) => {
        const all = Array.from({ length: last + 1 }, (_, i) => i);
        const dropped = new Set(revisionsToDrop(all));
        const kept = all.filter((each) => !dropped.has(each));
        expect(kept.slice(-40)).toEqual(all.slice(-40));
        expect(kept.length).toBeLessThanOrEqual(40 + Math.ceil(all.length / 20));
      }),
    );
  });
});

describe('the shelf of clips', () => {
  it('whose list is damaged keeps the list and finds the clips that it holds itself', async () => {
    const shelf = new ClipShelf(root);
    const clip = path.join(root, 'a clip.mp4');
    await writeFile(clip, 'a clip');
    const { sha256 } = await shelf.addStream('sent.mp4', Readable.from([Buffer.from('sent')]));
    await writeFile(path.join(root, 'clips.json'), '{"schema":1,"cl');
    expect((await shelf.find(sha256)).path).toBe(path.join(root, 'clips', `${sha256}.mp4`));
    await shelf.addFile(clip);
    expect((await shelf.find(sha256)).ref.bytes).toBe(4);
    expect(await readFile(path.join(root, 'clips-damaged.json'), 'utf8')).toBe('{"schema":1,"cl');
  });
});
