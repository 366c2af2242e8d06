import { mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { LifterFolder } from '../../../electron/lifters/lifter-folder.ts';
import { ReviewFolder } from '../../../electron/reviews/review-folder.ts';
import { nothingAsked } from '../../../shared-lib/contract/circumstances.ts';
import { nothingCoached } from '../../../shared-lib/contract/coaching.ts';
import type { Review } from '../../../shared-lib/contract/review.ts';

const id = '2026-03-01-0a1b2c3d';
let root: string;
let file: string;
beforeEach(async () => {
  root = await mkdtemp(path.join(tmpdir(), 'lockstep-migrations-'));
  file = path.join(root, 'reviews', id, 'review.json');
  await mkdir(path.dirname(file), { recursive: true });
});
afterEach(() => rm(root, { recursive: true, force: true }));

const oldText = (version: number): Promise<string> =>
  readFile(path.join(import.meta.dirname, 'old-files', `review-${version}.json`), 'utf8');

describe('a review of version 1', () => {
  it('opens with everything that was said in it, and with nothing put into the coach’s mouth', async () => {
    const text = await oldText(1);
    await writeFile(file, text);
    const review = await new ReviewFolder(root).open(id);
    const old = JSON.parse(text) as typeof review;
    expect(review).toEqual({
      ...old,
      schema: 3,
      lifterId: null,
      reference: {
        ...old.reference,
        circumstances: nothingAsked,
        options: {
          ...old.reference!.options,
          discKnown: 'measured',
          rim: null,
          sleeveEnd: null,
          whole: false,
          fixed: [],
        },
        events: [],
        body: [],
        points: [],
      },
      coaching: nothingCoached,
    });
    expect(await readFile(file, 'utf8')).toBe(text);
  });

  it('is written as version 3 with the next revision once something is done to it', async () => {
    await writeFile(file, await oldText(1));
    const reviews = new ReviewFolder(root);
    expect(await reviews.keep({ ...(await reviews.open(id)), title: 'Bench' })).toBe(8);
    expect(JSON.parse(await readFile(file, 'utf8'))).toMatchObject({
      schema: 3,
      revision: 8,
      title: 'Bench',
    });
  });
});

describe('a review of version 2', () => {
  it('opens with the words that the coach wrote over, and goes as proposed where there were none', async () => {
    const text = await oldText(2);
    await writeFile(file, text);
    const review = await new ReviewFolder(root).open(id);
    const { coaching, ...old } = JSON.parse(text) as Review;
    const { words, ...said } = coaching as unknown as Record<string, unknown>;
    expect(words).toMatchObject({ answer: 'Because you rush it.', heldUp: null });
    const side = old.reference!;
    expect(review).toEqual({
      ...old,
      schema: 3,
      reference: { ...side, options: { ...side.options, sleeveEnd: null, whole: false } },
      coaching: {
        ...said,
        handBack: { said: { answer: 'Because you rush it.', filmNext: '' }, film: 'landscape' },
      },
    });
  });
});

describe('a file of a newer version', () => {
  it('is refused in a sentence, listed with it, and never overwritten', async () => {
    const reviews = new ReviewFolder(root);
    const review = await reviews.start(new Date('2026-03-02T10:00:00Z'));
    const newer = JSON.stringify({ schema: 4, id, revision: 1 });
    await writeFile(file, newer);
    await expect(reviews.open(id)).rejects.toMatchObject({
      kind: 'unusableFile',
      what: `The review ${id} cannot be read: a newer Lockstep wrote it (version 4 of its file, this one knows 3).`,
    });
    await expect(reviews.keep({ ...review, id, revision: 9 })).rejects.toThrow('newer Lockstep');
    expect((await reviews.list()).find((entry) => entry.id === id)?.trouble).toMatch('newer Lockstep');
    expect(await readFile(file, 'utf8')).toBe(newer);
  });

  it.each(['{"schema":0}', '{"schema":"two"}', '{}', '[]', 'null', '{"schema":1}'])(
    'that says no version we know is damaged: %s',
    async (text) => {
      await writeFile(file, text);
      await expect(new ReviewFolder(root).open(id)).rejects.toThrow('was damaged');
    },
  );
});

describe('lifters on disk', () => {
  it('are kept by revision like reviews, and changed from what is kept now', async () => {
    const lifters = new LifterFolder(root);
    const { id: lifter } = await lifters.start('Rowan Teale', new Date('2026-03-01T10:00:00Z'));
    await Promise.all([
      lifters.change(lifter, (now) => ({ ...now, bodyKg: 82 })),
      lifters.change(lifter, (now) => ({ ...now, notes: 'Trains on Mondays.' })),
    ]);
    expect(await lifters.open(lifter)).toMatchObject({
      name: 'Rowan Teale',
      bodyKg: 82,
      notes: 'Trains on Mondays.',
      revision: 2,
    });
  });
});
