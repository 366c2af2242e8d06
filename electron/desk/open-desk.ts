import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { editionOf } from '../reviews/edition.ts';
import { Results } from '../reviews/results.ts';
import { ClipShelf } from '../reviews/clip-shelf.ts';
import { deleteLeftovers } from '../reviews/leftovers.ts';
import { writeTrouble } from '../reviews/write-trouble.ts';
import { zipFolder } from '../lifters/lifter-zip.ts';
import { writeReadMe } from '../lifters/read-me.ts';
import { LifterFolder } from '../lifters/lifter-folder.ts';
import { ReviewFolder } from '../reviews/review-folder.ts';
import { findFfmpeg, findTools } from '../media/find-ffmpeg.ts';
import { StillShelf } from '../media/still-shelf.ts';
import { ClipQueue } from './clip-queue.ts';
import { handlersOf, lookOver, type Desk } from '../desk/handlers.ts';
import { Switchboard } from '../desk/switchboard.ts';

/** Everything behind the screens, for any shell, with its files under `root`. */
export async function openDesk(root: string): Promise<{ desk: Desk; board: Switchboard }> {
  await writeReadMe(root).catch((cause: unknown) => {
    throw writeTrouble('review', root, cause, 'or choose another folder with --reviews');
  });
  const desk: Omit<Desk, 'queue'> = {
    reviews: new ReviewFolder(root),
    lifters: new LifterFolder(root),
    clips: new ClipShelf(root),
    results: new Results(root, await editionOf(path.dirname(fileURLToPath(import.meta.url)))),
    stills: new StillShelf(() => findFfmpeg()),
    tools: () => findTools(),
    now: () => new Date(),
  };
  const written = [root, path.join(root, 'clips'), path.join(root, zipFolder)];
  await Promise.all([desk.results.tidy(), deleteLeftovers(written, desk.now())]);
  const queue = new ClipQueue(path.join(root, 'queue.json'), lookOver(desk));
  const whole: Desk = { ...desk, queue };
  return { desk: whole, board: new Switchboard(handlersOf(whole)) };
}
