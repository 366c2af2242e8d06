import { readdir, readFile, rm } from 'node:fs/promises';
import path from 'node:path';
import type { OutputOf } from '../../shared-lib/contract/desk.ts';
import type { Lifter } from '../../shared-lib/contract/lifter.ts';
import type { Review } from '../../shared-lib/contract/review.ts';
import type { Desk } from '../desk/handlers.ts';
import { clipsOf, zipFile } from './lifter-zip.ts';

interface Belongings {
  /** Ids of the lifter's reviews, those that cannot be read too. */
  reviews: string[];
  /** Clips that no other lifter and no other review stands on, by their hashes. */
  clips: Set<string>;
}

/** What would go with a lifter: to be shown before it is asked for. */
export async function lifterBelongings(desk: Desk, id: string): Promise<OutputOf<'lifterBelongings'>> {
  const { reviews, clips } = await belongingsOf(desk, id);
  const kept = await desk.clips.kept(clips);
  return { reviews: reviews.length, clips: kept.length, clipsElsewhere: clips.size - kept.length };
}

/**
 * Deletes a lifter with everything that belongs to them: reviews with their history and what was handed back, copies of
 * their clips, what was worked out from those, what was put aside, zips. Files that were brought in by path are the
 * user's own and stay where they are; that they were ever brought in is forgotten. The lifter goes last, so that a
 * removal that was cut short can be done again.
 */
export async function removeLifter(desk: Desk, id: string): Promise<void> {
  const { reviews, clips } = await belongingsOf(desk, id);
  await desk.queue.leaveAll(clips);
  await desk.stills.forget(clips);
  await desk.results.forget(clips);
  await desk.clips.forget(clips);
  await Promise.all(reviews.map((review) => desk.reviews.delete(review)));
  await forgetEarlierSaves(desk, id);
  await forgetPutAside(desk.lifters.root, id);
  await rm(zipFile(desk, id), { force: true });
  await desk.lifters.delete(id);
}

async function belongingsOf(desk: Desk, id: string): Promise<Belongings> {
  const [reviews, lifters] = await Promise.all([desk.reviews.all(), desk.lifters.all()]);
  const theirs: Review[] = [];
  const others: Review[] = [];
  const damaged: string[] = [];
  for (const review of reviews) {
    if ('document' in review) (review.document.lifterId === id ? theirs : others).push(review.document);
    // A file that cannot be read may still say whose it is.
    else if (await mentions(desk.reviews.folderOf(review.id), id)) damaged.push(review.id);
  }
  const isOwn = (lifter: Lifter): boolean => lifter.id === id;
  const documents = lifters.flatMap((each) => ('document' in each ? [each.document] : []));
  const hashes = (of: readonly Lifter[], and: readonly Review[]): Set<string> =>
    new Set(clipsOf(of, and).map(({ sha256 }) => sha256));
  const shared = hashes(
    documents.filter((each) => !isOwn(each)),
    others,
  );
  const clips = [...hashes(documents.filter(isOwn), theirs)].filter((sha256) => !shared.has(sha256));
  return { reviews: [...theirs.map((review) => review.id), ...damaged], clips: new Set(clips) };
}

/** Saves of other people's reviews from when they were this lifter's. */
async function forgetEarlierSaves(desk: Desk, id: string): Promise<void> {
  for (const { id: review } of await desk.reviews.all()) {
    const history = path.join(desk.reviews.folderOf(review), 'history');
    for (const name of await readdir(history).catch(() => [])) {
      const file = path.join(history, name);
      if (saysId(await readFile(file, 'utf8'), id)) await rm(file);
    }
  }
}

/** What was put aside before under `removed/`: the lifter, and reviews that say that they were theirs. */
async function forgetPutAside(root: string, id: string): Promise<void> {
  const aside = path.join(root, 'removed');
  for (const name of await readdir(aside).catch(() => [])) {
    const folder = path.join(aside, name);
    if (await mentions(folder, id)) await rm(folder, { recursive: true, force: true });
  }
}

/** Whether any of a document's files, its earlier saves too, names the lifter. */
async function mentions(folder: string, id: string): Promise<boolean> {
  const files = await readdir(folder, { recursive: true, withFileTypes: true });
  for (const file of files.filter((each) => each.isFile() && each.name.endsWith('.json'))) {
    if (saysId(await readFile(path.join(file.parentPath, file.name), 'utf8'), id)) return true;
  }
  return false;
}

const saysId = (text: string, id: string): boolean => text.includes(`"${id}"`);
