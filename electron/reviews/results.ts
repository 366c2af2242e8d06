import { createHash } from 'node:crypto';
import { mkdir, readdir, readFile, rm } from 'node:fs/promises';
import path from 'node:path';
import { deserialize, serialize } from 'node:v8';
import writeFileAtomic from 'write-file-atomic';
import type { Job } from '../desk/follow-clip.ts';
import { SharedWork } from '../desk/shared-work.ts';

/** Settled results held in memory: both sides of a pair, looked at and followed, and as many again. */
const mostHeld = 8;

interface Held {
  made: SharedWork<unknown>;
  /** The clips that it was worked out from. */
  clips: readonly string[];
}

/**
 * What was worked out, by what it was worked out from; may be thrown away at any time. Each result is a file
 * `results/EDITION/KIND-KEY`, with the clips that it stands on beside it in `KIND-KEY.clips`, one hash a line.
 */
export class Results {
  private readonly underWay = new Set<string>();
  /** Work under way and what was asked for last, oldest first. */
  private readonly held = new Map<string, Held>();

  /** @param edition of the program: what another one worked out is not taken */
  constructor(
    private readonly root: string,
    private readonly edition: string,
  ) {}

  /**
   * The kept result of `from`, or what `work` makes of it. Work under way is shared: whoever stops waiting stops no other.
   * Work that failed is not kept.
   */
  async of<T>(kind: string, from: unknown, job: Job, work: (job: Job) => Promise<T>): Promise<T> {
    const { key, clips, file } = this.placeOf(kind, from);
    const held = this.held.get(key);
    if (held && !held.made.isStopped) {
      this.held.delete(key);
      this.held.set(key, held);
      return (held.made as SharedWork<T>).join(job);
    }
    const made = new SharedWork((shared) => this.readOr(file, clips, () => work(shared)));
    this.held.set(key, { made, clips });
    this.underWay.add(key);
    void made.settled.then((outcome) => {
      // Where everybody left, another may have begun the same since.
      if (this.held.get(key)?.made !== made) return;
      this.underWay.delete(key);
      if (outcome === 'failed') this.held.delete(key);
    });
    this.letGo();
    return made.join(job);
  }

  /** The kept result of `from` that was worked out elsewhere; null where there is none. */
  async kept(kind: string, from: unknown): Promise<unknown> {
    try {
      return deserialize(await readFile(this.placeOf(kind, from).file));
    } catch {
      return null;
    }
  }

  /** Keeps what was worked out elsewhere of `from`. */
  async keep(kind: string, from: unknown, result: unknown): Promise<void> {
    const { file, clips } = this.placeOf(kind, from);
    await write(file, clips, result);
  }

  /** Deletes everything that was worked out from any of these clips; what is still being worked out is waited for. */
  async forget(clips: ReadonlySet<string>): Promise<void> {
    const theirs = [...this.held].filter(([, held]) => held.clips.some((clip) => clips.has(clip)));
    await Promise.all(theirs.map(([, { made }]) => made.settled));
    for (const [key] of theirs) this.held.delete(key);
    for (const name of await readdir(this.folder()).catch(() => [])) {
      if (!name.endsWith(clipsEnd)) continue;
      const file = path.join(this.folder(), name);
      const of = (await readFile(file, 'utf8')).split('\n');
      if (!of.some((clip) => clips.has(clip))) continue;
      // What says whose it is goes last, so that a removal that was cut short can be done again.
      await rm(file.slice(0, -clipsEnd.length), { force: true });
      await rm(file, { force: true });
    }
  }

  /** Deletes what other editions of the program left, which nothing reads any more. */
  async tidy(): Promise<void> {
    const all = path.join(this.root, 'results');
    const old = (await readdir(all).catch(() => [])).filter((name) => name !== this.edition);
    await Promise.all(old.map((name) => rm(path.join(all, name), { recursive: true, force: true })));
  }

  private placeOf(kind: string, from: unknown): { key: string; clips: string[]; file: string } {
    const asked = JSON.stringify([this.edition, kind, from]);
    const key = createHash('sha256').update(asked).digest('hex').slice(0, 32);
    return { key, clips: clipsIn(asked), file: path.join(this.folder(), `${kind}-${key}`) };
  }

  private folder(): string {
    return path.join(this.root, 'results', this.edition);
  }

  /** The rest is read from disk again when it is asked for: however many clips a coach has, memory stays the same. */
  private letGo(): void {
    const settled = [...this.held.keys()].filter((key) => !this.underWay.has(key));
    for (const key of settled.slice(0, Math.max(0, settled.length - mostHeld))) this.held.delete(key);
  }

  private async readOr<T>(file: string, clips: readonly string[], work: () => Promise<T>): Promise<T> {
    try {
      return deserialize(await readFile(file)) as T;
    } catch {
      const result = await work();
      await write(file, clips, result);
      return result;
    }
  }
}

async function write(file: string, clips: readonly string[], result: unknown): Promise<void> {
  try {
    await mkdir(path.dirname(file), { recursive: true });
    await writeFileAtomic(`${file}${clipsEnd}`, clips.map((clip) => `${clip}\n`).join(''));
    await writeFileAtomic(file, serialize(result));
  } catch {
    // A full disk costs the keeping, not the result.
  }
}

const clipsEnd = '.clips';
/** Clips are known by their SHA-256, which nothing else looks like. */
const clipsIn = (text: string): string[] => [...new Set(text.match(/\b[0-9a-f]{64}\b/g) ?? [])];
