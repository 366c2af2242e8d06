import { close, mkdtempSync, openSync, readSync, rmSync, statfsSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';

/** Of what is free where the file lies, so much is taken at most: others write there too, and it may be memory (set by judgement). */
const mostOfFree = 0.25;

/** Bytes put aside in a file that goes with the program, up to a bound. */
export class ScratchFile {
  #length = 0;
  #folder: string | null = null;
  #file: number | null = null;
  #isBroken = false;
  #mostBytes: number;

  /** @param mostBytes beyond which nothing more is taken */
  constructor(mostBytes: number) {
    this.#mostBytes = mostBytes;
  }

  /** Where the bytes were written; -1 where they could not be. */
  write(data: Uint8Array): number {
    const at = this.#length;
    if (this.#isBroken || at + data.length > this.#mostBytes) return -1;
    try {
      if (this.#file === null) {
        this.#file = this.#open();
        const { bavail, bsize } = statfsSync(tmpdir());
        this.#mostBytes = Math.min(this.#mostBytes, mostOfFree * bavail * bsize);
      }
      for (let done = 0; done < data.length;)
        done += writeSync(this.#file, data, done, data.length - done, at + done);
    } catch {
      // A full disk is no reason to stop: what is missing is decoded again.
      this.#isBroken = true;
      return -1;
    }
    this.#length += data.length;
    return at;
  }

  /** Fills `data` with what was written at a place; false where so much is not there. */
  read(at: number, data: Uint8Array): boolean {
    return this.#file !== null && readSync(this.#file, data, 0, data.length, at) === data.length;
  }

  /** What it held is given back while other work goes on: for a file of some hundred megabytes that takes a tenth of a second. */
  close(): void {
    const folder = this.#folder;
    const removed = (): void => {
      if (folder) rmSync(folder, { recursive: true, force: true });
    };
    if (this.#file === null) removed();
    else close(this.#file, removed);
    this.#file = null;
    this.#folder = null;
  }

  #open(): number {
    this.#folder = mkdtempSync(path.join(tmpdir(), 'lockstep-pieces-'));
    const name = path.join(this.#folder, 'pieces');
    const file = openSync(name, 'wx+', 0o600);
    // Nothing of it stays behind, even after a crash; where an open file cannot be removed, close() does it.
    if (process.platform !== 'win32') {
      rmSync(this.#folder, { recursive: true, force: true });
      this.#folder = null;
    }
    return file;
  }
}
