import { createHash, randomBytes } from 'node:crypto';
import { createWriteStream } from 'node:fs';
import { copyFile, mkdir, readdir, readFile, rename, rm, stat } from 'node:fs/promises';
import path from 'node:path';
import { Transform, type Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import writeFileAtomic from 'write-file-atomic';
import { z } from 'zod';
import { Failure } from '../../shared-lib/contract/errors.ts';
import type { ClipRef } from '../../shared-lib/contract/review.ts';
import { sha256Of } from '../media/probe.ts';

const shelfSchema = z.object({
  schema: z.literal(1),
  clips: z.record(z.string(), z.object({ name: z.string(), bytes: z.number(), path: z.string() })),
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
    const folder = path.join(this.root, 'clips');
    await mkdir(folder, { recursive: true });
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
    } finally {
      await rm(partial, { force: true });
    }
  }

  /** @throws Failure where the clip is not known, gone, or another file now */
  async find(sha256: string): Promise<{ path: string; ref: ClipRef }> {
    const entry = (await this.read()).clips[sha256];
    if (!entry) throw new Failure('unusableFile', 'That clip was never brought in.', 'Bring it in again.');
    const found = await stat(entry.path).catch(() => null);
    if (!found?.isFile() || found.size !== entry.bytes) {
      throw new Failure(
        'unusableFile',
        `${entry.name} is no longer at ${entry.path}.`,
        'Bring the same clip in from its new place; everything marked in it is kept.',
      );
    }
    return { path: entry.path, ref: { sha256, name: entry.name, bytes: entry.bytes } };
  }

  private note(ref: ClipRef, file: string): Promise<ClipRef> {
    const now = this.writing
      .catch(() => undefined)
      .then(async () => {
        const shelf = await this.read();
        shelf.clips[ref.sha256] = { name: ref.name, bytes: ref.bytes, path: file };
        await mkdir(this.root, { recursive: true });
        await writeFileAtomic(this.file(), `${JSON.stringify(shelf, null, 2)}\n`);
        return ref;
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
      await copyFile(this.file(), path.join(this.root, 'clips-damaged.json')).catch(() => undefined);
      return this.ofFolder();
    }
  }

  /** What the folder of clips itself tells: those kept there have their hash for a name. */
  private async ofFolder(): Promise<Shelf> {
    const folder = path.join(this.root, 'clips');
    const shelf: Shelf = { schema: 1, clips: {} };
    for (const name of await readdir(folder).catch(() => [])) {
      const file = path.join(folder, name);
      if (!/^[0-9a-f]{64}(\.|$)/.test(name)) continue;
      shelf.clips[name.slice(0, 64)] = { name, bytes: (await stat(file)).size, path: file };
    }
    return shelf;
  }

  private file(): string {
    return path.join(this.root, 'clips.json');
  }
}

const safeExtension = (name: string): string => {
  const extension = path.extname(name).toLowerCase();
  return /^\.[a-z0-9]{1,5}$/.test(extension) ? extension : '';
};
