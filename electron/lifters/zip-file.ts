import { open, type FileHandle } from 'node:fs/promises';
import { configure, Reader, ZipReader, type FileEntry } from '@zip.js/zip.js';
import { Failure } from '../../shared-lib/contract/errors.ts';

configure({ useWebWorkers: false });

/** A file on disk as the library reads it: by stretches, never whole. */
class FileReader extends Reader<FileHandle> {
  constructor(private readonly handle: FileHandle) {
    super(handle);
  }

  override async init(): Promise<void> {
    await super.init?.();
    this.size = (await this.handle.stat()).size;
  }

  override async readUint8Array(index: number, length: number): Promise<Uint8Array> {
    const bytes = new Uint8Array(Math.min(length, Math.max(0, this.size - index)));
    const { bytesRead } = await this.handle.read(bytes, 0, bytes.length, index);
    return bytes.subarray(0, bytesRead);
  }
}

/** More files than any lifter's zip holds; such a zip is no zip of ours. */
const mostEntries = 20_000;

/**
 * Lets a zip's files be read while it is open.
 *
 * @throws Failure where the file is no zip, or holds more than belongs in one
 */
export async function withZip<T>(
  file: string,
  work: (entries: readonly FileEntry[]) => Promise<T>,
): Promise<T> {
  const handle = await open(file, 'r').catch((cause: unknown) => {
    throw new Failure('unusableFile', `There is no file ${file}.`, 'Choose the zip file again.', { cause });
  });
  try {
    const reader = new ZipReader(new FileReader(handle));
    const entries: FileEntry[] = [];
    try {
      for await (const entry of reader.getEntriesGenerator()) {
        if (entries.length >= mostEntries) throw noZip();
        if (!entry.directory) entries.push(entry);
      }
    } catch (cause) {
      throw cause instanceof Failure ? cause : noZip(cause);
    }
    return await work(entries);
  } finally {
    await handle.close();
  }
}

export const noZip = (cause?: unknown): Failure =>
  new Failure(
    'unusableFile',
    'That is no zip file of a lifter.',
    'Choose a zip that Lockstep made, whole and unchanged.',
    { cause },
  );
