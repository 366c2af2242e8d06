import { spawn } from 'node:child_process';
import { once } from 'node:events';
import path from 'node:path';
import { ReviewFolder } from '../../../electron/reviews/review-folder.ts';
import type { Draw } from '../../fuzz/mutate.ts';

const saver = path.join(import.meta.dirname, 'saver.ts');

export interface Killed {
  kills: number;
  saves: number;
  /** Saves that were told as kept and are not there any more. */
  lost: number;
  /** Times that the review could not be opened. */
  unreadable: number;
}

/** Kills a program at random moments while it saves a review, until it has told so many saves, and counts what is lost. */
export async function killWhileSaving(root: string, saves: number, draw: Draw): Promise<Killed> {
  const reviews = new ReviewFolder(root);
  const { id } = await reviews.start(new Date(0));
  const count: Killed = { kills: 0, saves: 0, lost: 0, unreadable: 0 };
  while (count.saves < saves) {
    const before = (await reviews.open(id)).revision;
    const last = (await untilKilled(root, id, draw)) ?? before;
    count.kills += 1;
    count.saves += last - before;
    const review = await reviews.open(id).catch(() => null);
    if (review === null) count.unreadable += 1;
    else if (review.revision < last || review.title !== (review.revision ? `save ${review.revision}` : '')) {
      count.lost += 1;
    }
  }
  return count;
}

/** The last save that the program told before it was killed; null where it told none. */
async function untilKilled(root: string, id: string, draw: Draw): Promise<number | null> {
  const child = spawn(process.execPath, ['--import', 'tsx', saver, root, id, '1000000'], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  let told = '';
  child.stdout.on('data', (chunk: Buffer) => {
    // From the first save on, so that the kill falls into one and not into the program's start.
    if (told === '') setTimeout(() => child.kill('SIGKILL'), draw(0, 400));
    told += chunk.toString();
  });
  await once(child, 'close');
  if (child.signalCode === null) throw new Error('The program ended by itself.');
  const lines = told.split('\n').slice(0, -1);
  return lines.length > 0 ? Number(lines.at(-1)) : null;
}
