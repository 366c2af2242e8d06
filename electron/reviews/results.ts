import { createHash } from 'node:crypto';
import { mkdir, readFile } from 'node:fs/promises';
import path from 'node:path';
import { deserialize, serialize } from 'node:v8';
import writeFileAtomic from 'write-file-atomic';

/** Settled results held in memory: both sides of a pair, looked at and followed, and as many again. */
const mostHeld = 8;

/** What was worked out, by what it was worked out from; may be thrown away at any time. */
export class Results {
  private readonly underWay = new Set<string>();
  /** Work under way and what was asked for last, oldest first. */
  private readonly held = new Map<string, Promise<unknown>>();

  /** @param edition of the program: what another one worked out is not taken */
  constructor(
    private readonly root: string,
    private readonly edition: string,
  ) {}

  /** The kept result of `from`, or what `work` makes of it; work under way is shared, work that failed is not kept. */
  async of<T>(kind: string, from: unknown, work: () => Promise<T>): Promise<T> {
    const key = createHash('sha256')
      .update(JSON.stringify([this.edition, kind, from]))
      .digest('hex')
      .slice(0, 32);
    const held = this.held.get(key) as Promise<T> | undefined;
    if (held) {
      this.held.delete(key);
      this.held.set(key, held);
      return held;
    }
    const made = this.readOr(path.join(this.root, 'results', `${kind}-${key}`), work);
    this.held.set(key, made);
    const settle = (): void => void this.underWay.delete(key);
    this.underWay.add(key);
    made.then(settle, () => {
      settle();
      this.held.delete(key);
    });
    this.letGo();
    return made;
  }

  /** The rest is read from disk again when it is asked for: however many clips a coach has, memory stays the same. */
  private letGo(): void {
    const settled = [...this.held.keys()].filter((key) => !this.underWay.has(key));
    for (const key of settled.slice(0, Math.max(0, settled.length - mostHeld))) this.held.delete(key);
  }

  private async readOr<T>(file: string, work: () => Promise<T>): Promise<T> {
    try {
      return deserialize(await readFile(file)) as T;
    } catch {
      const result = await work();
      await mkdir(path.dirname(file), { recursive: true });
      await writeFileAtomic(file, serialize(result));
      return result;
    }
  }
}
