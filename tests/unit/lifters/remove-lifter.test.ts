import { createHash } from 'node:crypto';
import { mkdir, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { Readable } from 'node:stream';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Desk } from '../../../electron/desk/handlers.ts';
import { unwatched } from '../../../electron/desk/jobs.ts';
import { openDesk } from '../../../electron/desk/open-desk.ts';
import { exportLifter } from '../../../electron/lifters/lifter-zip.ts';
import { newLifter } from '../../../electron/lifters/lifter-folder.ts';
import { removeLifter } from '../../../electron/lifters/remove-lifter.ts';
import { newReview } from '../../../electron/reviews/review-folder.ts';
import type { Switchboard } from '../../../electron/desk/switchboard.ts';
import { nothingAsked } from '../../../shared-lib/contract/circumstances.ts';
import type { ClipRef, Review } from '../../../shared-lib/contract/review.ts';
import { newSide, nothingSaid } from '../../../shared-lib/contract/review.ts';
import type { MarkedRep } from '../../../shared-lib/contract/lifter.ts';

const day = new Date('2026-03-01T10:00:00Z');
const job = { signal: new AbortController().signal, onProgress: () => undefined };
const [theirs, others] = ['lifter-leaving', 'lifter-staying'];
/** What is the lifter's alone: no file of the folder may hold any of it afterwards. */
const secrets = [
  ...[theirs, 'Rowan Teale', 'sore left elbow', 'asked by Rowan', 'review-gone', 'review-damaged'],
  ...[
    'review-aside',
    'own-clip.mp4',
    'usual-clip.mp4',
    'elsewhere.mp4',
    'film of Rowan',
    'measured of Rowan',
  ],
];

let root: string;
let folder: string;
let desk: Desk;
let board: Switchboard;
beforeEach(async () => {
  root = await mkdtemp(path.join(tmpdir(), 'lockstep-remove-'));
  folder = path.join(root, 'kept');
  ({ desk, board } = await openDesk(folder));
});
afterEach(() => rm(root, { recursive: true, force: true }));

const sent = (name: string, text: string): Promise<ClipRef> =>
  desk.clips.addStream(name, Readable.from([Buffer.from(text)]));
const marked = (clip: ClipRef): MarkedRep => ({
  ...{ lift: 'bench', clip, options: nothingSaid, rep: 1, day: '2026-02-20', loadKg: null },
  ...{ circumstances: nothingAsked, events: [] },
});
const reviewOf = (id: string, lifterId: string | null, ...clips: (ClipRef | undefined)[]): Review => {
  const [today, reference] = clips.map((clip) => (clip ? newSide(clip) : null));
  return { ...newReview(id, day), lifterId, today, reference: reference ?? null };
};

/** Everything that the program may keep of a lifter, and somebody else who shares one clip with them. */
async function aFolderInUse(): Promise<{ shared: ClipRef; elsewhere: string }> {
  const shared = await sent('shared.mp4', 'both are in it');
  const own = await sent('own-clip.mp4', 'film of Rowan');
  const usual = await sent('usual-clip.mp4', 'film of Rowan, again');
  const elsewhere = path.join(root, 'elsewhere.mp4');
  await writeFile(elsewhere, 'film of Rowan, on the phone’s disk');
  const byPath = await desk.clips.addFile(elsewhere);

  const lifter = newLifter(theirs, 'Rowan Teale', day);
  await desk.lifters.add({ ...lifter, notes: 'sore left elbow', usualReps: [marked(usual)] });
  await desk.lifters.add({ ...newLifter(others, 'Ash Merrow', day), usualReps: [marked(shared)] });

  await desk.reviews.add({ ...reviewOf('review-gone', theirs, own, byPath), asked: 'asked by Rowan' });
  const back = path.join(desk.reviews.folderOf('review-gone'), 'hand-back');
  await mkdir(back);
  await writeFile(path.join(back, 'page.html'), 'asked by Rowan');
  await desk.reviews.add(reviewOf('review-damaged', theirs, shared));
  await writeFile(
    path.join(desk.reviews.folderOf('review-damaged'), 'review.json'),
    `{"lifterId":"${theirs}"`,
  );
  await rm(path.join(desk.reviews.folderOf('review-damaged'), 'history'), { recursive: true });
  await desk.reviews.add(reviewOf('review-aside', theirs, own));
  await desk.reviews.remove('review-aside');

  // A review that was theirs before it was somebody else's.
  await desk.reviews.add({ ...reviewOf('review-stays', theirs, shared), asked: 'asked by Rowan' });
  await desk.reviews.keep(reviewOf('review-stays', others, shared));
  await desk.reviews.add(reviewOf('review-of-nobody', null));

  await desk.results.of('tracked', { sha256: own.sha256 }, unwatched(), () =>
    Promise.resolve('measured of Rowan'),
  );
  const pair = { clips: [own.sha256, shared.sha256] };
  await desk.results.of('compared', pair, unwatched(), () => Promise.resolve('measured of Rowan and Ash'));
  await desk.results.of('tracked', { sha256: shared.sha256 }, unwatched(), () =>
    Promise.resolve('measured of both'),
  );
  await exportLifter(desk, theirs, true, job);
  await exportLifter(desk, others, false, job);
  await desk.queue.add([own, shared], 'bench');
  await writeFile(path.join(folder, 'clips-damaged.json'), 'own-clip.mp4');
  return { shared, elsewhere };
}

/** Names and bytes of all files. */
async function everything(): Promise<Map<string, string>> {
  const files = (await readdir(folder, { recursive: true, withFileTypes: true })).filter((each) =>
    each.isFile(),
  );
  const named = files.map((each) => path.join(each.parentPath, each.name));
  const texts = await Promise.all(named.map((file) => readFile(file, 'latin1')));
  return new Map(named.map((file, i) => [path.relative(folder, file), texts[i]]));
}

const ask = async (command: string, input: object): Promise<unknown> =>
  ((await board.answer({ command, job: 'a', input })) as { output: unknown }).output;

describe('a lifter who is removed', () => {
  it('leaves nothing on the disk, in any file or name, and nobody else loses anything', async () => {
    const { shared, elsewhere } = await aFolderInUse();
    const before = await everything();
    for (const secret of secrets) {
      expect(
        [...before].some(([name, text]) => name.includes(secret) || text.includes(secret)),
        secret,
      ).toBe(true);
    }
    expect(await ask('lifterBelongings', { id: theirs })).toEqual({
      reviews: 2,
      clips: 2,
      clipsElsewhere: 1,
    });
    await ask('removeLifter', { id: theirs });
    await desk.queue.close();

    const after = await everything();
    for (const [name, text] of after) {
      for (const secret of secrets)
        expect(`${name} ${text}`.includes(secret), `${secret} in ${name}`).toBe(false);
    }
    const hash = createHash('sha256').update('film of Rowan').digest('hex');
    expect([...after].filter(([name, text]) => name.includes(hash) || text.includes(hash))).toEqual([]);

    expect(await readFile(elsewhere, 'utf8')).toContain('film of Rowan');
    expect((await desk.clips.find(shared.sha256)).ref).toEqual(shared);
    expect(await desk.lifters.open(others)).toMatchObject({ name: 'Ash Merrow' });
    expect((await desk.reviews.open('review-stays')).lifterId).toBe(others);
    expect(await desk.reviews.has('review-of-nobody')).toBe(true);
    expect([...after.keys()]).toContain(path.join('zips', `${others}.zip`));
    expect([...after.values()].some((text) => text.includes('measured of both'))).toBe(true);
    expect((await desk.queue.list()).map(({ clip }) => clip.name)).toEqual(['shared.mp4']);
  });

  it('can be removed again where the first time was cut short, and only then is gone', async () => {
    await aFolderInUse();
    const cut = new Error('cut short');
    const { reviews } = desk;
    const broken = {
      ...desk,
      reviews: Object.assign(Object.create(reviews) as typeof reviews, { delete: () => Promise.reject(cut) }),
    };
    await expect(removeLifter(broken, theirs)).rejects.toBe(cut);
    expect(await desk.lifters.has(theirs)).toBe(true);
    await removeLifter(desk, theirs);
    await desk.queue.close();
    for (const [name, text] of await everything())
      for (const secret of secrets)
        expect(`${name} ${text}`.includes(secret), `${secret} in ${name}`).toBe(false);
  });
});
