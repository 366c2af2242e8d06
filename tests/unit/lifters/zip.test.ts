import { createHash } from 'node:crypto';
import { createWriteStream } from 'node:fs';
import { mkdtemp, readFile, readdir, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { Readable, Writable } from 'node:stream';
import { TextReader, Uint8ArrayReader, ZipWriter } from '@zip.js/zip.js';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Desk } from '../../../electron/desk/handlers.ts';
import { hostileText } from '../../hostile-text.ts';
import { openDesk } from '../../../electron/desk/open-desk.ts';
import { exportLifter, importLifter } from '../../../electron/lifters/lifter-zip.ts';
import { newLifter } from '../../../electron/lifters/lifter-folder.ts';
import { newReview } from '../../../electron/reviews/review-folder.ts';
import { nothingAsked } from '../../../shared-lib/contract/circumstances.ts';
import { newSide, nothingSaid, type Review } from '../../../shared-lib/contract/review.ts';

const day = new Date('2026-03-01T10:00:00Z');
const job = { signal: new AbortController().signal, onProgress: () => undefined };
const film = Buffer.from('a film of nobody in particular');
const sha256 = createHash('sha256').update(film).digest('hex');

let root: string;
let here: Desk;
let there: Desk;
beforeEach(async () => {
  root = await mkdtemp(path.join(tmpdir(), 'lockstep-zip-'));
  ({ desk: here } = await openDesk(path.join(root, 'here')));
  ({ desk: there } = await openDesk(path.join(root, 'there')));
});
afterEach(() => rm(root, { recursive: true, force: true }));

/** A lifter with two reviews, the second of which answers the first, and one clip. */
async function aLifter(): Promise<{ id: string; reviews: Review[] }> {
  const file = path.join(root, 'practice #1 é.mp4');
  await writeFile(file, film);
  const clip = await here.clips.addFile(file);
  const lifter = {
    ...newLifter('lifter-one', 'Rowan Teale', day),
    usualReps: [
      { lift: 'bench' as const, clip, options: nothingSaid, rep: 2, day: '2026-02-20', loadKg: 90, circumstances: nothingAsked, events: [] }, // prettier-ignore
    ],
  };
  await here.lifters.add(lifter);
  const side = { ...newSide(clip), loadKg: 90, rep: 2, discConfirmed: true };
  const first = { ...newReview('first', day), lifterId: lifter.id, today: side };
  const second = { ...newReview('second', day), lifterId: lifter.id };
  second.coaching = {
    ...second.coaching,
    seenAgain: [{ review: 'first', cue: 'a', seen: false }],
  };
  await here.reviews.add(first);
  await here.reviews.add(second);
  await here.reviews.add(newReview('of-somebody-else', day));
  return { id: lifter.id, reviews: [first, second] };
}

async function zipOf(files: Record<string, string | Uint8Array>): Promise<string> {
  const file = path.join(root, 'made.zip');
  const zip = new ZipWriter(Writable.toWeb(createWriteStream(file)) as WritableStream<Uint8Array>);
  for (const [name, body] of Object.entries(files)) {
    await zip.add(name, typeof body === 'string' ? new TextReader(body) : new Uint8ArrayReader(body));
  }
  await zip.close();
  return file;
}

describe('a lifter in a zip', () => {
  it('comes out elsewhere as it went in, with the reviews and the clips, and nobody else’s', async () => {
    const { id, reviews } = await aLifter();
    const { file, bytes } = await exportLifter(here, id, true, job);
    expect((await readFile(file)).length).toBe(bytes);
    await importLifter(there, file, job);
    expect(await there.lifters.open(id)).toEqual(await here.lifters.open(id));
    for (const review of reviews) expect(await there.reviews.open(review.id)).toEqual(review);
    expect(await there.reviews.has('of-somebody-else')).toBe(false);
    const clip = await there.clips.find(sha256);
    expect(await readFile(clip.path)).toEqual(film);
    expect(clip.path.startsWith(path.join(root, 'there', 'clips'))).toBe(true);
    expect(await readdir(path.join(root, 'here', 'zips'))).toEqual([`${id}.zip`]);
  });

  it('comes out elsewhere whatever its clips are called', async () => {
    await fc.assert(
      fc.asyncProperty(hostileText(), async (name) => {
        const id = `lifter-${createHash('sha256').update(name).digest('hex').slice(0, 8)}`;
        const clip = await here.clips.addStream(name, Readable.from([film]));
        const rep = { lift: 'bench' as const, clip, options: nothingSaid, rep: 1, day: '2026-02-20' };
        const usualReps = [{ ...rep, loadKg: null, circumstances: nothingAsked, events: [] }];
        await here.lifters.add({ ...newLifter(id, name.slice(0, 120), day), usualReps });
        const { file } = await exportLifter(here, id, true, job);
        await importLifter(there, file, job);
        expect(await there.lifters.open(id)).toEqual(await here.lifters.open(id));
        expect(await readFile((await there.clips.find(sha256)).path)).toEqual(film);
        await there.clips.forget(new Set([sha256]));
      }),
      { numRuns: 25 },
    );
    const files = (await readdir(root, { recursive: true })).filter((name) =>
      /^(here|there).clips/.test(name),
    );
    for (const name of files)
      expect(name).toMatch(/^(here|there).clips(.json|.[0-9a-f]{64}(\.[a-z0-9]{1,5})?)?$/);
  });

  it('goes without clips where they were not wanted, and then needs them brought in', async () => {
    const { id } = await aLifter();
    await importLifter(there, (await exportLifter(here, id, false, job)).file, job);
    await expect(there.clips.find(sha256)).rejects.toThrow('never brought in');
  });

  it('that is here already comes in beside, and what is here stays as it is', async () => {
    const { id } = await aLifter();
    const before = await readFile(path.join(root, 'here', 'reviews', 'first', 'review.json'), 'utf8');
    const copy = await importLifter(here, (await exportLifter(here, id, true, job)).file, job);
    expect(copy.id).not.toBe(id);
    const copies = (await here.reviews.readable()).filter(({ lifterId }) => lifterId === copy.id);
    expect(copies).toHaveLength(2);
    const answered = copies.find(({ coaching }) => coaching.seenAgain.length > 0)!;
    expect(answered.coaching.seenAgain[0].review).toBe(copies.find((c) => c !== answered)!.id);
    expect(await readFile(path.join(root, 'here', 'reviews', 'first', 'review.json'), 'utf8')).toBe(before);
  });
});

describe('a zip that is not ours', () => {
  const lifterJson = JSON.stringify(newLifter('lifter-two', 'Ash Merrow', day));

  const outside = JSON.stringify(newReview('../../../outside', day));
  it.each([{ '../outside.txt': 'x' }, { 'reviews/inside/review.json': outside }])(
    'writes nothing outside, whatever it says: %j',
    async (files) => {
      const file = await zipOf({ 'lifter.json': lifterJson, ...files });
      await expect(importLifter(there, file, job)).rejects.toMatchObject({ kind: 'unusableFile' });
      expect((await readdir(root)).sort()).toEqual(['here', 'made.zip', 'there']);
      expect(await there.lifters.has('lifter-two')).toBe(false);
    },
  );

  it.each<[string, Record<string, string>]>([
    ['without a lifter', { 'notes.txt': 'hello' }],
    ['with a damaged lifter', { 'lifter.json': '{"schema":1' }],
    ['of a newer Lockstep', { 'lifter.json': '{"schema":9}' }],
  ])('%s is refused in a sentence', async (_, files) => {
    await expect(importLifter(there, await zipOf(files), job)).rejects.toMatchObject({
      kind: 'unusableFile',
    });
    expect(await there.lifters.all()).toEqual([]);
  });

  it('takes in what belongs to a lifter and leaves every other name alone, whatever they are', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.uniqueArray(
          hostileText().filter((name) => name !== 'lifter.json'),
          { maxLength: 6 },
        ),
        async (names) => {
          const others = Object.fromEntries(names.map((name) => [name, 'x']));
          const file = await zipOf({ 'lifter.json': lifterJson, ...others });
          const made = await importLifter(there, file, job).catch((error: unknown) => {
            // The library itself refuses names that lead elsewhere.
            expect(error).toMatchObject({ kind: 'unusableFile' });
            return null;
          });
          if (made) await there.lifters.delete(made.id);
          expect(await there.lifters.all()).toEqual([]);
          expect((await readdir(root)).sort()).toEqual(['here', 'made.zip', 'there']);
          expect((await readdir(path.join(root, 'there'))).sort()).toEqual(
            expect.arrayContaining(['README.txt', 'log']),
          );
          for (const name of await readdir(path.join(root, 'there')))
            expect(['README.txt', 'log', 'lifters', 'clips.json']).toContain(name);
        },
      ),
      { numRuns: 40 },
    );
  });

  it('that unpacks to more than a document ever holds is refused', async () => {
    const file = await zipOf({ 'lifter.json': ' '.repeat(21_000_000) });
    expect((await readFile(file)).length).toBeLessThan(100_000);
    await expect(importLifter(there, file, job)).rejects.toThrow('no zip file of a lifter');
  });

  it('that unpacks to more than it says is stopped there', async () => {
    const file = await zipOf({ 'lifter.json': lifterJson + ' '.repeat(15_000_000) });
    const bytes = await readFile(file);
    // The uncompressed size in the central directory (APPNOTE.TXT 4.3.12: 24 bytes after its signature).
    const at = bytes.lastIndexOf(Buffer.from([0x50, 0x4b, 1, 2])) + 24;
    expect(bytes.readUInt32LE(at)).toBe(lifterJson.length + 15_000_000);
    bytes.writeUInt32LE(lifterJson.length, at);
    await writeFile(file, bytes);
    await expect(importLifter(there, file, job)).rejects.toThrow('no zip file of a lifter');
    expect(await there.lifters.has('lifter-two')).toBe(false);
  });

  it('with more files than any lifter’s is refused', async () => {
    // The directory alone, as of APPNOTE.TXT 4.3.12 and 4.3.16: entries without contents.
    const entry = Buffer.alloc(47);
    entry.writeUInt32LE(0x02014b50, 0);
    entry.writeUInt16LE(1, 28);
    entry.write('x', 46);
    const count = 20_001;
    const end = Buffer.alloc(22);
    end.writeUInt32LE(0x06054b50, 0);
    for (const at of [8, 10]) end.writeUInt16LE(count, at);
    end.writeUInt32LE(entry.length * count, 12);
    const file = path.join(root, 'many.zip');
    await writeFile(file, Buffer.concat([...Array<Buffer>(count).fill(entry), end]));
    await expect(importLifter(there, file, job)).rejects.toThrow('no zip file of a lifter');
  });

  it('with a clip that is not what its name says is refused', async () => {
    const { id } = await aLifter();
    const lifter = JSON.stringify(await here.lifters.open(id));
    const file = await zipOf({ 'lifter.json': lifter, [`clips/${sha256}/x.mp4`]: Buffer.from('another') });
    await expect(importLifter(there, file, job)).rejects.toThrow('is damaged');
    expect(await there.lifters.has(id)).toBe(false);
  });

  it.each(['', 'not a zip at all', 'PK\u0003\u0004'])('but another file is refused: %j', async (text) => {
    const file = path.join(root, 'x.zip');
    await writeFile(file, text);
    await expect(importLifter(there, file, job)).rejects.toThrow('no zip file of a lifter');
    await expect(importLifter(there, path.join(root, 'missing.zip'), job)).rejects.toThrow(
      'There is no file',
    );
  });
});
