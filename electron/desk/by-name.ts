import path from 'node:path';
import { Failure } from '../../shared-lib/contract/errors.ts';
import type { ClipShelf } from '../reviews/clip-shelf.ts';

/** Runs work on a clip; what fails calls the clip by the name that its people know, not by where it is kept. */
export async function byName<T>(file: string, name: string, work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    throw error instanceof Failure ? named(error, file, name) : error;
  }
}

function named(error: Failure, file: string, name: string): Failure {
  const say = (words: string): string => words.replaceAll(file, name).replaceAll(path.basename(file), name);
  return new Failure(error.kind, say(error.what), say(error.advice), { cause: error });
}

/** Clips sent by a browser are kept under their content's hash. */
const keptName = /[0-9a-f]{64}(?:\.[a-z0-9]{1,5})?/g;

/** Words in which clips go by the names that their people know, whatever part of the program wrote them. */
export async function withNames(words: string, clips: Pick<ClipShelf, 'nameOf' | 'folder'>): Promise<string> {
  const shown = words.replaceAll(clips.folder() + path.sep, '');
  const names = new Map<string, string>();
  for (const [kept] of shown.matchAll(keptName)) {
    const sha256 = kept.slice(0, 64);
    const known = await clips.nameOf(sha256).catch(() => null);
    names.set(kept, known ?? 'the clip');
  }
  return shown.replace(keptName, (kept) => names.get(kept) ?? kept);
}
