import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { readParts } from '../about/parts.ts';
import { openLog, type Log } from '../log/log.ts';
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
import { restarts, type Restart } from '../restarts.ts';
import { Failure } from '../../shared-lib/contract/errors.ts';
import { withNames } from './by-name.ts';
import { AskedFirst, waitedFor } from './asked-first.ts';
import { ClipQueue, type ClipWork } from './clip-queue.ts';
import { handlersOf, lookOver, type Desk } from '../desk/handlers.ts';
import { Switchboard } from '../desk/switchboard.ts';

/** Folder of the program's own scripts. */
const scripts = path.dirname(fileURLToPath(import.meta.url));

/** Everything behind the screens, for any shell, with its files under `root`. */
export async function openDesk(root: string): Promise<{ desk: Desk; board: Switchboard }> {
  await writeReadMe(root).catch((cause: unknown) => {
    throw writeTrouble('review', root, cause, 'or choose another folder with --reviews');
  });
  const log = await openLog(path.join(root, 'log'), scripts);
  restarts.subscribe((message) => {
    const { what, error } = message as Restart;
    log.write({ event: 'restarted', what, error: log.shapeOf(error) });
  });
  const desk: Omit<Desk, 'queue'> = {
    reviews: new ReviewFolder(root),
    lifters: new LifterFolder(root),
    clips: new ClipShelf(root),
    results: new Results(root, await editionOf(scripts)),
    askedFirst: new AskedFirst(),
    stills: new StillShelf(() => findFfmpeg()),
    log,
    parts: await readParts(scripts),
    tools: () => findTools(),
    now: () => new Date(),
  };
  const written = [root, path.join(root, 'clips'), path.join(root, zipFolder)];
  // What cannot be deleted now is deleted another time.
  await Promise.allSettled([desk.results.tidy(), deleteLeftovers(written, desk.now())]);
  const queue = new ClipQueue(path.join(root, 'queue.json'), logged(lookOver(desk), log));
  const whole: Desk = { ...desk, queue };
  return {
    desk: whole,
    board: new Switchboard(waitedFor(handlersOf(whole), whole.askedFirst), log, (words) =>
      withNames(words, whole.clips),
    ),
  };
}

/** The work on a clip in the queue, with how it ended in the log. */
const logged =
  (work: ClipWork, log: Log): ClipWork =>
  async (item, job, onStage) => {
    try {
      const findings = await work(item, job, onStage);
      log.write({ event: 'clip done', stage: findings.stage });
      return findings;
    } catch (error) {
      if (error instanceof Failure) {
        if (error.kind !== 'stopped') log.write({ event: 'clip done', stage: 'needs you' });
      } else {
        log.write({ event: 'fault', where: 'clip in the queue', error: log.shapeOf(error) });
      }
      throw error;
    }
  };
