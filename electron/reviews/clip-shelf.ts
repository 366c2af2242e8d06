import { createHash, randomBytes } from 'node:crypto';
import { createWriteStream } from 'node:fs';
import { copyFile, mkdir, readdir, readFile, rename, rm, stat } from 'node:fs/promises';
import path from 'node:path';
import { Transform, type Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import writeFileAtomic from 'write-file-atomic';
import { z } from 'zod';
import { Failure, LostClip } from '../../shared-lib/contract/errors.ts';
import type { ClipRef } from '../../shared-lib/contract/review.ts';
import { sha256Of } from '../media/probe.ts';
import { isOfDisk, writeTrouble } from './write-trouble.ts';

const shelfSchema = z.object({
  schema: z.literal(1),
  clips: z.record(
    z.string(),
    z.object({
      name: z.string(),
      bytes: z.number(),
      path: z.string(),
      /** The file's own time when its content was last looked at; null where that is not known. */
      modifiedMs: z.number().nullable().default(null),
    }),
  ),
});
type Shelf = z.infer<typeof shelfSchema>;

/**
 * Where clips are, by content: `clips.json` maps a hash to the place where the file was last seen. Clips brought in by
 * path stay where they are; those sent by the browser, which tells no path, are kept under `clips/`.
 */
export class ClipShelf {
  private writing: Promise<unknown> = Promise.resolve();

  constructor(private readonly root: string) {}

  async addFile(file: string): Promise<ClipRef> {
    const found = await stat(file).catch(() => null);
    if (!found?.isFile()) {
      throw new Failure(
        'unusableFile',
        `There is no file ${file}.`,
        'Check the path, or choose the clip again.',
      );
    }
    const sha256 = await sha256Of(file);
    return this.note({ sha256, name: path.basename(file), bytes: found.size }, path.resolve(file));
  }

  /** Keeps a file as it streams in. Nothing half-received is left behind. */
  async addStream(name: string, stream: Readable): Promise<ClipRef> {
    const folder = this.folder();
    await mkdir(folder, { recursive: true }).catch((cause: unknown) => {
      throw clipTrouble(folder, cause);
    });
    const partial = path.join(folder, `${randomBytes(8).toString('hex')}.partial`);
    const hash = createHash('sha256');
    let bytes = 0;
    const count = new Transform({
      transform(chunk: Buffer, _encoding, done) {
        hash.update(chunk);
        bytes += chunk.length;
        done(null, chunk);
      },
    });
    try {
      await pipeline(stream, count, createWriteStream(partial, { flags: 'wx' }));
      const sha256 = hash.digest('hex');
      // The name on disk is ours alone: a sender's name decides no path.
      const kept = path.join(folder, `${sha256}${safeExtension(name)}`);
      await rename(partial, kept);
      return await this.note({ sha256, name: path.basename(name), bytes }, kept);
    } catch (cause) {
      throw isOfDisk(cause) ? clipTrouble(folder, cause) : cause;
    } finally {
      await rm(partial, { force: true });
    }
  }

  /** @throws Failure where the clip is not known, gone, or another file now */
  async find(sha256: string): Promise<{ path: string; ref: ClipRef }> {
    const entry = (await this.read()).clips[sha256];
    if (!entry) throw new Failure('unusableFile', 'That clip was never brought in.', 'Bring it in again.');
    const ref = { sha256, name: entry.name, bytes: entry.bytes };
    if (!(await this.isStill(ref, entry))) {
      throw new LostClip(
        { sha256, name: entry.name },
        path.dirname(entry.path) === this.folder()
          ? `The copy of ${entry.name} that was kept here is gone.`
          : `${entry.name} is no longer at ${entry.path}.`,
        'Say where it is now; everything marked in it is kept.',
      );
    }
    return { path: entry.path, ref };
  }

  /** What a clip's file was called when it was brought in; null where it never was. */
  async nameOf(sha256: string): Promise<string | null> {
    return (await this.read()).clips[sha256]?.name ?? null;
  }

  /** Whether the file where a clip was last seen still holds it; looked into again only when something wrote to it. */
  private async isStill(ref: ClipRef, entry: Shelf['clips'][string]): Promise<boolean> {
    const found = await stat(entry.path).catch(() => null);
    if (!found?.isFile() || found.size !== ref.bytes) return false;
    if (found.mtimeMs === entry.modifiedMs) return true;
    if ((await sha256Of(entry.path)) !== ref.sha256) return false;
    // A disk that takes no note costs looking again the next time, not the clip.
    await this.note(ref, entry.path).catch(() => undefined);
    return true;
  }

  /** Those of the clips whose file is a copy of our own, under `clips/`. */
  async kept(clips: ReadonlySet<string>): Promise<string[]> {
    return (await readdir(this.folder()).catch(() => [])).filter((name) => clips.has(hashIn(name)));
  }

  /** Deletes the copies of these clips, and where the others lie is known no more; files of the user's own stay. */
  async forget(clips: ReadonlySet<string>): Promise<void> {
    for (const name of await this.kept(clips)) await rm(path.join(this.folder(), name), { force: true });
    await rm(path.join(this.root, damagedName), { force: true });
    await this.change((shelf) => {
      for (const sha256 of clips) delete shelf.clips[sha256];
    });
  }

  private async note(ref: ClipRef, file: string): Promise<ClipRef> {
    const modifiedMs = await stat(file).then(
      ({ mtimeMs }) => mtimeMs,
      () => null,
    );
    await this.change((shelf) => {
      shelf.clips[ref.sha256] = { name: ref.name, bytes: ref.bytes, path: file, modifiedMs };
    });
    return ref;
  }

  private change(recipe: (shelf: Shelf) => void): Promise<void> {
    const now = this.writing
      .catch(() => undefined)
      .then(async () => {
        const shelf = await this.read();
        recipe(shelf);
        await mkdir(this.root, { recursive: true });
        await writeFileAtomic(this.file(), `${JSON.stringify(shelf, null, 2)}\n`);
      })
      .catch((cause: unknown) => {
        throw clipTrouble(this.root, cause);
      });
    this.writing = now;
    return now;
  }

  private async read(): Promise<Shelf> {
    const text = await readFile(this.file(), 'utf8').catch(() => null);
    if (text === null) return this.ofFolder();
    try {
      return shelfSchema.parse(JSON.parse(text));
    } catch {
      await copyFile(this.file(), path.join(this.root, damagedName)).catch(() => undefined);
      return this.ofFolder();
    }
  }

  /** What the folder of clips itself tells: those kept there have their hash for a name. */
  private async ofFolder(): Promise<Shelf> {
    const folder = this.folder();
    const shelf: Shelf = { schema: 1, clips: {} };
    for (const name of await readdir(folder).catch(() => [])) {
      const file = path.join(folder, name);
      if (!/^[0-9a-f]{64}(\.|$)/.test(name)) continue;
      shelf.clips[hashIn(name)] = { name, bytes: (await stat(file)).size, path: file, modifiedMs: null };
    }
    return shelf;
  }

  /** Where clips are kept that a browser sent. */
  folder(): string {
    return path.join(this.root, 'clips');
  }

  private file(): string {
    return path.join(this.root, 'clips.json');
  }
}

const damagedName = 'clips-damaged.json';
const clipTrouble = (folder: string, cause: unknown) =>
  writeTrouble('clip', folder, cause, 'then bring the clip in again');

/** Names of kept clips begin with their hash. */
const hashIn = (name: string): string => name.slice(0, 64);

const safeExtension = (name: string): string => {
  const extension = path.extname(name).toLowerCase();
  return /^\.[a-z0-9]{1,5}$/.test(extension) ? extension : '';
};
