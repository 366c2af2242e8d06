import { randomBytes } from 'node:crypto';
import { link, mkdir, open, readdir, readFile, rename, rm, stat } from 'node:fs/promises';
import path from 'node:path';

/** Saves that are all kept; of older ones every twentieth. */
const keptAll = 40;
const keptEach = 20;

/** Which revisions may go: the newest and some of the older stay. */
export function revisionsToDrop(revisions: readonly number[]): number[] {
  const newest = Math.max(...revisions);
  return revisions.filter((each) => each <= newest - keptAll && each % keptEach !== 0);
}

/**
 * Every save of a document as a file of its own, `<revision>.json`. The first to claim a revision has it, in this process
 * or another, so that of two windows none overwrites the other unseen.
 */
export class SaveHistory {
  constructor(private readonly folder: string) {}

  /** The revisions that are kept, ascending; empty where there are none. */
  async revisions(): Promise<number[]> {
    const names = await readdir(this.folder).catch(() => []);
    return names
      .flatMap((name) => /^(\d+)\.json$/.exec(name)?.[1] ?? [])
      .map(Number)
      .sort((a, b) => a - b);
  }

  read(revision: number): Promise<string> {
    return readFile(this.file(revision), 'utf8');
  }

  async savedAt(revision: number): Promise<Date> {
    return (await stat(this.file(revision))).mtime;
  }

  /**
   * Keeps a save, on the disk when this returns.
   *
   * @returns false where that revision is taken already; nothing was changed then
   */
  async claim(revision: number, text: string): Promise<boolean> {
    await mkdir(this.folder, { recursive: true });
    const partial = path.join(this.folder, `${randomBytes(6).toString('hex')}.partial`);
    try {
      const handle = await open(partial, 'wx');
      try {
        await handle.writeFile(text);
        await handle.sync();
      } finally {
        await handle.close();
      }
      if (!(await nameOnce(partial, this.file(revision)))) return false;
      await syncFolder(this.folder);
    } finally {
      await rm(partial, { force: true });
    }
    const drop = revisionsToDrop(await this.revisions());
    await Promise.all(drop.map((each) => rm(this.file(each), { force: true })));
    return true;
  }

  private file(revision: number): string {
    return path.join(this.folder, `${revision}.json`);
  }
}

/** Gives a file its name unless the name is taken: a link, which is one step, or on disks without links the next best. */
async function nameOnce(partial: string, file: string): Promise<boolean> {
  try {
    await link(partial, file);
    return true;
  } catch (error) {
    const { code = '' } = error as NodeJS.ErrnoException;
    if (code === 'EEXIST') return false;
    if (!['EPERM', 'ENOTSUP', 'EOPNOTSUPP', 'ENOSYS'].includes(code)) throw error;
    if (await stat(file).catch(() => null)) return false;
    await rename(partial, file);
    return true;
  }
}

/** A new name is on the disk only when its folder is. Windows has no such call, and needs none. */
async function syncFolder(folder: string): Promise<void> {
  if (process.platform === 'win32') return;
  const handle = await open(folder, 'r');
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
}
