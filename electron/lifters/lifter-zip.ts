import { randomBytes } from 'node:crypto';
import { createReadStream, createWriteStream } from 'node:fs';
import { mkdir, rename, rm, stat } from 'node:fs/promises';
import path from 'node:path';
import { Readable, Transform, Writable } from 'node:stream';
import { text as utf8 } from 'node:stream/consumers';
import { TextReader, ZipWriter, type FileEntry } from '@zip.js/zip.js';
import { Failure } from '../../shared-lib/contract/errors.ts';
import type { Lifter } from '../../shared-lib/contract/lifter.ts';
import type { ClipRef, Review } from '../../shared-lib/contract/review.ts';
import type { Desk } from '../desk/handlers.ts';
import type { Job } from '../desk/follow-clip.ts';
import { throwIfStopped } from '../media/process.ts';
import { zipReadMe } from './read-me.ts';
import { noZip, withZip } from './zip-file.ts';

/** Where zips are put, under the folder that the user owns. */
export const zipFolder = 'zips';

const largestDocument = 20_000_000;
const largestClip = 20e9;
const json = (value: unknown): string => `${JSON.stringify(value, null, 2)}\n`;

/** Where a lifter's zip is put. */
export const zipFile = (desk: Desk, id: string): string =>
  path.join(desk.lifters.root, zipFolder, `${id}.zip`);

/** Every clip that lifters' marks and reviews stand on, once. */
export function clipsOf(lifters: readonly Lifter[], reviews: readonly Review[]): ClipRef[] {
  const all = [
    ...lifters.flatMap(({ usualReps }) => usualReps.map(({ clip }) => clip)),
    ...reviews.flatMap(({ reference, today }) => [reference, today].flatMap((side) => side?.clip ?? [])),
  ];
  return [...new Map(all.map((clip) => [clip.sha256, clip])).values()];
}

/** Writes a lifter, all its reviews and, where wanted, their clips into one zip. A clip that is gone is left out. */
export async function exportLifter(
  desk: Desk,
  id: string,
  withClips: boolean,
  job: Job,
): Promise<{ file: string; name: string; bytes: number }> {
  const lifter = await desk.lifters.open(id);
  const reviews = (await desk.reviews.readable()).filter(({ lifterId }) => lifterId === id);
  const file = zipFile(desk, id);
  const name = path.basename(file);
  await mkdir(path.dirname(file), { recursive: true });
  const partial = `${file}.${randomBytes(4).toString('hex')}.partial`;
  try {
    const zip = new ZipWriter(Writable.toWeb(createWriteStream(partial)) as WritableStream<Uint8Array>);
    await zip.add('README.txt', new TextReader(zipReadMe));
    await zip.add('lifter.json', new TextReader(json(lifter)));
    for (const review of reviews)
      await zip.add(`reviews/${review.id}/review.json`, new TextReader(json(review)));
    const clips = withClips ? clipsOf([lifter], reviews) : [];
    for (const [i, { sha256 }] of clips.entries()) {
      throwIfStopped(job.signal);
      const found = await desk.clips.find(sha256).catch(() => null);
      if (!found) continue;
      const body = Readable.toWeb(createReadStream(found.path)) as ReadableStream<Uint8Array>;
      // Films do not get smaller.
      await zip.add(`clips/${sha256}/${nameInZip(found.ref.name)}`, body, { level: 0 });
      job.onProgress((i + 1) / clips.length);
    }
    await zip.close();
    throwIfStopped(job.signal);
    await rename(partial, file);
  } finally {
    await rm(partial, { force: true });
  }
  return { file, name, bytes: (await stat(file)).size };
}

/** A clip's name for whoever unpacks the zip by hand; its own name stands in the documents. */
const nameInZip = (name: string): string =>
  name
    .replace(/[^\p{L}\p{N}._ -]/gu, '_')
    .replace(/^[. ]+|[. ]+$/g, '_')
    .slice(-100) || 'clip';

/**
 * Takes a lifter in from a zip. What is here already is never touched: a lifter or review whose name is taken comes in
 * under a new one. No name in the zip decides a path on disk.
 *
 * @throws Failure where it is no zip of a lifter, damaged, or made by a newer Lockstep; then nothing was taken in but clips
 */
export function importLifter(desk: Desk, file: string, job: Job): Promise<Lifter> {
  return withZip(file, async (entries) => {
    const named = (name: string): FileEntry | undefined => entries.find(({ filename }) => filename === name);
    const lifterEntry = named('lifter.json');
    if (!lifterEntry) throw noZip();
    const sent = desk.lifters.parse(await textOf(lifterEntry), 'in the zip', 'the zip');
    const reviews: Review[] = [];
    for (const entry of entries) {
      const match = /^reviews\/([a-z0-9-]{1,64})\/review\.json$/.exec(entry.filename);
      if (match) reviews.push(desk.reviews.parse(await textOf(entry), match[1], 'the zip'));
    }
    await takeClips(desk, clipsOf([sent], reviews), entries, job);

    const lifterId = (await desk.lifters.has(sent.id)) ? `lifter-${randomBytes(4).toString('hex')}` : sent.id;
    const names = new Map<string, string>();
    for (const { id } of reviews) {
      const taken = await desk.reviews.has(id);
      names.set(id, taken ? `${id.slice(0, 50)}-${randomBytes(3).toString('hex')}` : id);
    }
    const lifter = { ...sent, id: lifterId };
    await desk.lifters.add(lifter);
    for (const review of reviews) {
      const { coaching } = review;
      const seenAgain = coaching.seenAgain.map((s) => ({ ...s, review: names.get(s.review) ?? s.review }));
      await desk.reviews.add({
        ...review,
        id: names.get(review.id)!,
        lifterId,
        coaching: { ...coaching, seenAgain },
      });
    }
    return lifter;
  });
}

/** Takes in the clips that the documents name; one that is not what its name says is refused. */
async function takeClips(
  desk: Desk,
  wanted: readonly ClipRef[],
  entries: readonly FileEntry[],
  job: Job,
): Promise<void> {
  for (const [i, { sha256, name }] of wanted.entries()) {
    throwIfStopped(job.signal);
    job.onProgress(i / wanted.length);
    const entry = entries.find(({ filename }) => filename.startsWith(`clips/${sha256}/`));
    if (!entry || (await desk.clips.find(sha256).catch(() => null))) continue;
    if (entry.uncompressedSize > largestClip) throw noZip();
    const through = limited(entry.uncompressedSize);
    const [ref] = await Promise.all([
      desk.clips.addStream(name, through),
      entry.getData(Writable.toWeb(through) as WritableStream<Uint8Array>),
    ]).catch((cause: unknown) => {
      throw noZip(cause);
    });
    if (ref.sha256 !== sha256) {
      throw new Failure(
        'unusableFile',
        `The clip ${name} in the zip is damaged.`,
        'Ask for the zip again; nothing of the lifter was taken in.',
      );
    }
  }
}

/** Passes on no more than was announced: a small file that unpacks without end stops here. */
function limited(bytes: number): Transform {
  let seen = 0;
  return new Transform({
    transform(chunk: Uint8Array, _encoding, done) {
      seen += chunk.length;
      if (seen > bytes) done(new Error('more than announced'));
      else done(null, chunk);
    },
  });
}

async function textOf(entry: FileEntry): Promise<string> {
  if (entry.uncompressedSize > largestDocument) throw noZip();
  const through = limited(entry.uncompressedSize);
  const [text] = await Promise.all([
    utf8(through),
    entry.getData(Writable.toWeb(through) as WritableStream<Uint8Array>),
  ]).catch((cause: unknown) => {
    throw noZip(cause);
  });
  return text;
}
