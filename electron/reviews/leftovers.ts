import { readdir, rm, stat } from 'node:fs/promises';
import path from 'node:path';

const dayMs = 86_400_000;
/** Files on their way in, and new versions of files that had not yet taken the old one's place. */
const isLeftover = (name: string): boolean => /\.partial$|\.json\.\d+$/.test(name);

/** Deletes what was half-written when the program was killed; younger than a day it may be another window's work. */
export async function deleteLeftovers(folders: readonly string[], now: Date): Promise<void> {
  for (const folder of folders) {
    for (const name of (await readdir(folder).catch(() => [])).filter(isLeftover)) {
      const file = path.join(folder, name);
      const writtenMs = (await stat(file)).mtimeMs;
      if (now.getTime() - writtenMs > dayMs) await rm(file, { force: true });
    }
  }
}
