import { randomBytes } from 'node:crypto';
import { copyFile, mkdir, readdir, readFile, rename, rm, stat } from 'node:fs/promises';
import path from 'node:path';
import writeFileAtomic from 'write-file-atomic';
import type { z } from 'zod';
import { Failure } from '../../shared-lib/contract/errors.ts';
import { SaveHistory } from './history.ts';
import type { OldFile } from './migrations.ts';
import { writeTrouble } from './write-trouble.ts';

export interface Document {
  id: string;
  /** Counts the saves. */
  revision: number;
}

export interface DocumentKind<T extends Document> {
  /** What people call it. */
  word: string;
  /** Folder under the root; each document has one of its own in it. */
  folder: string;
  /** The document's file in its folder. */
  file: string;
  schema: z.ZodType<T>;
  /** `steps[0]` makes version 2 of version 1, and so on; the newest version is one more than there are steps. */
  steps: readonly ((file: OldFile) => OldFile)[];
}

/** Documents on disk as plain files: `root/<folder>/<id>/<file>`, each save a revision. */
export class DocumentFolder<T extends Document> {
  /** Saves of one document wait for one another. */
  private readonly saving = new Map<string, Promise<unknown>>();

  constructor(
    readonly root: string,
    private readonly kind: DocumentKind<T>,
  ) {}

  /** Every document, or why it cannot be read and when it was last written. */
  async all(): Promise<({ id: string; document: T } | { id: string; trouble: string; at: Date })[]> {
    const entries = await readdir(this.folder(), { withFileTypes: true }).catch(() => []);
    const read = await Promise.all(
      entries.filter((entry) => entry.isDirectory()).map(({ name: id }) => this.readOrWhyNot(id)),
    );
    return read.filter((entry) => entry !== null);
  }

  private async readOrWhyNot(id: string) {
    try {
      return { id, document: await this.open(id) };
    } catch (error) {
      const found = await stat(path.join(this.folder(), id, this.kind.file)).catch(() => null);
      if (!found) return null;
      return { id, trouble: error instanceof Failure ? error.what : 'It cannot be read.', at: found.mtime };
    }
  }

  /**
   * Reads a document, brought to the newest version in memory; the file is left as it is. Where the file is damaged, gone,
   * or older than the last save, as when the program was killed between two steps, the last whole save takes its place.
   *
   * @throws Failure where there is none, it is damaged beyond its history, or a newer Lockstep wrote it
   */
  async open(id: string): Promise<T> {
    const found = await this.readFile(id);
    const saved = await this.lastSave(id, found instanceof Failure ? -1 : found.revision);
    if (!(found instanceof Failure)) return saved ?? found;
    if (saved === null) throw found;
    await setAside(this.file(id));
    return saved;
  }

  /** The document in its own file, or why it cannot be had. @throws Failure where a newer Lockstep wrote it */
  private async readFile(id: string): Promise<T | Failure> {
    const { word } = this.kind;
    const file = this.file(id);
    let text: string;
    try {
      text = await readFile(file, 'utf8');
    } catch (cause) {
      const what = `There is no ${word} ${id} in ${this.root}.`;
      return new Failure('usage', what, 'Choose one from the list.', { cause });
    }
    try {
      return this.parse(text, id, file);
    } catch (error) {
      if (error instanceof Failure && error.cause !== undefined) return error;
      throw error;
    }
  }

  /** The newest whole save beyond a revision; null where there is none. */
  private async lastSave(id: string, beyond: number): Promise<T | null> {
    const history = this.historyOf(id);
    for (const revision of (await history.revisions()).reverse()) {
      if (revision <= beyond) return null;
      try {
        return this.parse(await history.read(revision), id, this.file(id));
      } catch {
        // A save that cannot be read: the one before it is the last whole one.
      }
    }
    return null;
  }

  /** What a document can be taken back to, newest first. */
  async history(id: string): Promise<{ revision: number; savedAt: Date }[]> {
    const history = this.historyOf(id);
    const revisions = (await history.revisions()).reverse();
    return Promise.all(
      revisions.map(async (revision) => ({ revision, savedAt: await history.savedAt(revision) })),
    );
  }

  /**
   * Makes what an earlier save held the newest one. Nothing is lost by it: what was newest stays in the history.
   *
   * @throws Failure where that save is not kept
   */
  async takeBack(id: string, revision: number): Promise<T> {
    const now = await this.open(id);
    const text = await this.historyOf(id)
      .read(revision)
      .catch((cause: unknown) => {
        const what = `That earlier ${this.kind.word} is not kept any more.`;
        throw new Failure('usage', what, 'Choose another one from the list.', { cause });
      });
    const then = this.parse(text, id, this.file(id));
    await this.keep({ ...then, revision: now.revision });
    return this.open(id);
  }

  private historyOf(id: string): SaveHistory {
    return new SaveHistory(path.join(this.folderOf(id), 'history'));
  }

  /**
   * Text of a document's file as a document of the newest version.
   *
   * @throws Failure where it is damaged, or a newer Lockstep wrote it
   */
  parse(text: string, id: string, file: string): T {
    const { word, steps, schema } = this.kind;
    const newest = steps.length + 1;
    try {
      const parsed = JSON.parse(text) as OldFile;
      const version = Number(parsed.schema);
      if (version > newest) throw tooNew(word, id, version, newest);
      return schema.parse(steps.slice(version - 1).reduce((old, step) => step(old), parsed));
    } catch (cause) {
      if (cause instanceof Failure) throw cause;
      throw new Failure(
        'unusableFile',
        `The ${word} ${id} cannot be read: its file was damaged.`,
        `Bring back ${file} from a backup, or go on without it.`,
        { cause },
      );
    }
  }

  /** Whether there ever was a document here. */
  async isBegun(): Promise<boolean> {
    return (await stat(this.folder()).catch(() => null)) !== null;
  }

  async has(id: string): Promise<boolean> {
    return (await stat(this.file(id)).catch(() => null)) !== null;
  }

  /** Keeps a document that is new here, as it is. */
  async add(document: T): Promise<void> {
    await this.write(document);
  }

  /**
   * Keeps a document under the next revision.
   *
   * @returns the revision now kept; null where a newer one is kept already and nothing was written
   */
  keep(document: T): Promise<number | null> {
    const before = this.saving.get(document.id) ?? Promise.resolve();
    const now = before
      .catch(() => undefined)
      .then(async () => {
        const kept = await this.open(document.id).catch((error: unknown) => {
          const gone = error instanceof Failure && error.kind === 'usage';
          throw gone ? writeTrouble(this.kind.word, this.folderOf(document.id), { code: 'ENOENT' }) : error;
        });
        if (kept.revision > document.revision) return null;
        const revision = document.revision + 1;
        return (await this.write({ ...document, revision })) ? revision : null;
      });
    this.saving.set(document.id, now);
    return now;
  }

  /** Deletes a document with its history and everything that lies beside it. */
  async delete(id: string): Promise<void> {
    await rm(this.folderOf(id), { recursive: true, force: true });
  }

  /** Puts a document aside under `removed/`; nothing is deleted. */
  async remove(id: string): Promise<void> {
    await this.open(id);
    const mark = randomBytes(2).toString('hex');
    const aside = path.join(this.root, 'removed');
    await mkdir(aside, { recursive: true });
    await rename(this.folderOf(id), path.join(aside, `${id}-${mark}`));
  }

  /**
   * Puts a document that was put aside back where it was; the one put aside last where there are several.
   *
   * @throws Failure 'usage' where there is none, or another has taken its place
   */
  async bringBack(id: string): Promise<void> {
    const aside = path.join(this.root, 'removed');
    const { word, file } = this.kind;
    const found: { folder: string; atMs: number }[] = [];
    for (const name of await readdir(aside).catch(() => [])) {
      const folder = path.join(aside, name);
      const there = await stat(path.join(folder, file)).catch(() => null);
      // Renaming a folder changes nothing of its times but the status'.
      if (name.slice(0, -5) === id && there) found.push({ folder, atMs: (await stat(folder)).ctimeMs });
    }
    const last = found.sort((a, b) => b.atMs - a.atMs).at(0);
    if (!last)
      throw new Failure('usage', `There is no removed ${word} of that name.`, 'It may be back already.');
    if (await stat(this.folderOf(id)).catch(() => null))
      throw new Failure('usage', `Another ${word} has taken its place.`, 'Remove that one first.');
    await rename(last.folder, this.folderOf(id));
  }

  /** The folder of one document, for what lies beside it. */
  folderOf(id: string): string {
    return path.dirname(this.file(id));
  }

  private folder(): string {
    return path.join(this.root, this.kind.folder);
  }

  private file(id: string): string {
    if (!/^[a-z0-9-]{1,64}$/.test(id)) {
      throw new Failure('usage', `That is no name of a ${this.kind.word}.`, 'Choose one from the list.');
    }
    return path.join(this.folder(), id, this.kind.file);
  }

  /** @returns false where another window has kept that revision; nothing was changed then */
  private async write(document: T): Promise<boolean> {
    const file = this.file(document.id);
    const text = `${JSON.stringify(document, null, 2)}\n`;
    try {
      await mkdir(path.dirname(file), { recursive: true });
      if (!(await this.historyOf(document.id).claim(document.revision, text))) return false;
      await writeFileAtomic(file, text);
      return true;
    } catch (cause) {
      throw writeTrouble(this.kind.word, path.dirname(file), cause);
    }
  }
}

/** Keeps a copy of a damaged file beside it, for whoever wants to look at it; the next save replaces the file itself. */
async function setAside(file: string): Promise<void> {
  await copyFile(file, file.replace(/\.json$/, '-damaged.json')).catch(() => undefined);
}

const tooNew = (word: string, id: string, version: number, newest: number): Failure =>
  new Failure(
    'unusableFile',
    `The ${word} ${id} cannot be read: a newer Lockstep wrote it (version ${version} of its file, this one knows ${newest}).`,
    'Open it with that Lockstep; the file is left as it is.',
  );
