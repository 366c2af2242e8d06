import { mkdir, readdir, readFile, rename, stat } from 'node:fs/promises';
import path from 'node:path';
import writeFileAtomic from 'write-file-atomic';
import type { z } from 'zod';
import { Failure } from '../../shared-lib/contract/errors.ts';
import type { OldFile } from './migrations.ts';

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

/** Documents on disk as plain files: `root/<folder>/<id>/<file>`, each save a revision, nothing ever deleted. */
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
   * Reads a document, brought to the newest version in memory; the file is left as it is.
   *
   * @throws Failure where there is none, it is damaged, or a newer Lockstep wrote it
   */
  async open(id: string): Promise<T> {
    const { word } = this.kind;
    const file = this.file(id);
    const text = await readFile(file, 'utf8').catch((cause: unknown) => {
      const what = `There is no ${word} ${id} in ${this.root}.`;
      throw new Failure('usage', what, 'Choose one from the list.', { cause });
    });
    return this.parse(text, id, file);
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

  async has(id: string): Promise<boolean> {
    return (await stat(this.file(id)).catch(() => null)) !== null;
  }

  /** Keeps a document that is new here, as it is. */
  add(document: T): Promise<void> {
    return this.write(document);
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
        const kept = await this.open(document.id);
        if (kept.revision > document.revision) return null;
        await this.write({ ...document, revision: document.revision + 1 });
        return document.revision + 1;
      });
    this.saving.set(document.id, now);
    return now;
  }

  /** Puts a document aside under `removed/`; nothing is deleted. */
  async remove(id: string, mark: string): Promise<void> {
    await this.open(id);
    const aside = path.join(this.root, 'removed');
    await mkdir(aside, { recursive: true });
    await rename(this.folderOf(id), path.join(aside, `${id}-${mark}`));
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

  private async write(document: T): Promise<void> {
    const file = this.file(document.id);
    try {
      await mkdir(path.dirname(file), { recursive: true });
      await writeFileAtomic(file, `${JSON.stringify(document, null, 2)}\n`);
    } catch (cause) {
      throw new Failure(
        'unusableFile',
        `The ${this.kind.word} cannot be kept in ${path.dirname(file)}.`,
        `Free some space there, or give yourself permission to write; the ${this.kind.word} stays open meanwhile.`,
        { cause },
      );
    }
  }
}

const tooNew = (word: string, id: string, version: number, newest: number): Failure =>
  new Failure(
    'unusableFile',
    `The ${word} ${id} cannot be read: a newer Lockstep wrote it (version ${version} of its file, this one knows ${newest}).`,
    'Open it with that Lockstep; the file is left as it is.',
  );
