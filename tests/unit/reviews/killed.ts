import { spawn } from 'node:child_process';
import { once } from 'node:events';
import path from 'node:path';
import type { Draw } from '../../fuzz/mutate.ts';
import { documentsOf, type SavedKind } from './saved-kinds.ts';

const saver = path.join(import.meta.dirname, 'saver.ts');

export interface Killed {
  saves: number;
  /** Saves that were told as kept and are not there any more. */
  lost: number;
  /** Times that the document could not be opened. */
  unreadable: number;
}

/** Kills a program at a random moment while it saves a document over and over, and counts what is lost. */
export async function killWhileSaving(
  root: string,
  kind: SavedKind,
  id: string,
  draw: Draw,
): Promise<Killed> {
  const documents = documentsOf(root, kind);
  const before = (await documents.open(id)).revision;
  const last = (await untilKilled([root, kind, id], draw)) ?? before;
  const saves = last - before;
  const now = await documents.open(id).catch(() => null);
  if (now === null) return { saves, lost: 0, unreadable: 1 };
  const isWhole = now.revision === 0 || now.text === `save ${now.revision}`;
  return { saves, lost: now.revision < last || !isWhole ? 1 : 0, unreadable: 0 };
}

/** The last save that the program told before it was killed; null where it told none. */
async function untilKilled(words: readonly string[], draw: Draw): Promise<number | null> {
  const child = spawn(process.execPath, ['--import', 'tsx', saver, ...words, '1000000'], {
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
