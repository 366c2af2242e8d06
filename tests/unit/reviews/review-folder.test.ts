import { mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { ReviewFolder } from '../../../electron/reviews/review-folder.ts';

let root: string;
let reviews: ReviewFolder;
const day = new Date('2026-03-01T10:00:00Z');

beforeEach(async () => {
  root = await mkdtemp(path.join(tmpdir(), 'lockstep-reviews-'));
  reviews = new ReviewFolder(root);
});
afterEach(() => rm(root, { recursive: true, force: true }));

describe('reviews on disk', () => {
  it('come back as they were kept, one revision on', async () => {
    const review = await reviews.start(day);
    expect(await reviews.keep({ ...review, title: 'Squat, March' })).toBe(1);
    expect(await reviews.open(review.id)).toEqual({ ...review, title: 'Squat, March', revision: 1 });
  });

  it('begin with the lift of the review before', async () => {
    const first = await reviews.start(day);
    expect(first.lift).toBe('squat');
    await reviews.keep({ ...first, lift: 'deadlift' });
    expect((await reviews.start(new Date('2026-03-02T10:00:00Z'))).lift).toBe('deadlift');
  });

  it('are not overwritten by an older revision', async () => {
    const review = await reviews.start(day);
    await reviews.keep({ ...review, title: 'first window' });
    await reviews.keep({ ...review, title: 'first window', revision: 1 });
    expect(await reviews.keep({ ...review, title: 'second window', revision: 1 })).toBeNull();
    expect((await reviews.open(review.id)).title).toBe('first window');
  });

  it('keep the last of many saves that were asked for at once, and leave no scraps', async () => {
    const review = await reviews.start(day);
    const kept = await Promise.all(
      Array.from({ length: 20 }, (_, i) => reviews.keep({ ...review, title: `save ${i}`, revision: i })),
    );
    expect(kept).toEqual(Array.from({ length: 20 }, (_, i) => i + 1));
    expect((await reviews.open(review.id)).title).toBe('save 19');
    const folder = path.join(root, 'reviews', review.id);
    expect((await readdir(folder)).sort()).toEqual(['history', 'review.json']);
    const saves = await readdir(path.join(folder, 'history'));
    expect(saves.sort()).toEqual(Array.from({ length: 21 }, (_, i) => `${i}.json`).sort());
  });

  it('are listed newest first, a damaged one with its trouble and untouched', async () => {
    const older = await reviews.start(day);
    const newer = await reviews.start(new Date('2026-03-02T10:00:00Z'));
    const file = path.join(root, 'reviews', older.id, 'review.json');
    await writeFile(file, '{"schema":1,');
    await rm(path.join(root, 'reviews', older.id, 'history'), { recursive: true });
    const list = await reviews.list();
    expect(list.map(({ id }) => id).sort()).toEqual([older.id, newer.id].sort());
    expect(list.find(({ id }) => id === older.id)?.trouble).toMatch(/cannot be read/);
    expect(list.find(({ id }) => id === newer.id)?.trouble).toBeNull();
    expect(await readFile(file, 'utf8')).toBe('{"schema":1,');
  });

  it('that are removed are put aside, not deleted', async () => {
    const { id } = await reviews.start(day);
    await reviews.remove(id);
    expect(await reviews.list()).toEqual([]);
    const [aside] = await readdir(path.join(root, 'removed'));
    expect(aside.startsWith(id)).toBe(true);
    await expect(reviews.open(id)).rejects.toThrow('There is no review');
  });

  it('that were removed come back as they were, and only where nothing has taken their place', async () => {
    const review = await reviews.start(day);
    await reviews.keep({ ...review, title: 'Tuesday' });
    await reviews.remove(review.id);
    await reviews.bringBack(review.id);
    expect((await reviews.open(review.id)).title).toBe('Tuesday');
    expect(await readdir(path.join(root, 'removed'))).toEqual([]);
    await expect(reviews.bringBack(review.id)).rejects.toThrow('no removed review');
  });

  it.each(['../outside', 'a/b', '', 'A', 'x'.repeat(65)])('have no name like %j', async (id) => {
    await expect(reviews.open(id)).rejects.toThrow('no name of a review');
  });
});
