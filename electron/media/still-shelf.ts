import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { makeStills, type StillsClip } from './stills.ts';

interface Wanted {
  frame: number;
  done: PromiseWithResolvers<Buffer>;
}

/** Frames made along with the one that was asked for, each way: who looks at one steps to the next. */
const alongside = 8;
/** Stills of one clip and size are made this many at a time, so that what is asked for next does not wait long. */
const mostAtOnce = 48;

/**
 * Stills of one clip at one width: what is asked for is made at once with its neighbours, and kept as files until the
 * program ends. One pass of ffmpeg runs at a time; what came in meanwhile goes first in the next, the latest first.
 */
class ClipStills {
  private readonly made = new Set<number>();
  private readonly wanted: Wanted[] = [];
  private ahead: number[] = [];
  private busy = false;

  constructor(
    private readonly clip: StillsClip,
    private readonly widthPx: number | null,
    private readonly folder: string,
    private readonly ffmpeg: string,
  ) {}

  async get(frame: number): Promise<Buffer> {
    if (this.made.has(frame)) return readFile(this.file(frame));
    const done = withResolvers<Buffer>();
    this.wanted.push({ frame, done });
    void this.work();
    return done.promise;
  }

  /** Makes these frames when nothing is asked for, in the order given. */
  prepare(frames: readonly number[]): void {
    this.ahead = frames.filter((frame) => !this.made.has(frame));
    void this.work();
  }

  private async work(): Promise<void> {
    if (this.busy) return;
    this.busy = true;
    try {
      for (let frames = this.next(); frames.length > 0; frames = this.next()) {
        const asked = this.wanted.splice(0);
        await this.make(frames, asked);
      }
    } finally {
      this.busy = false;
    }
  }

  private next(): number[] {
    const last = this.clip.ptsS.length - 1;
    if (this.wanted.length === 0) {
      const frames = this.ahead.filter((frame) => !this.made.has(frame)).slice(0, mostAtOnce);
      this.ahead = this.ahead.slice(this.ahead.indexOf(frames.at(-1) ?? -1) + 1);
      return frames;
    }
    const latest = this.wanted.at(-1)!.frame;
    const asked = this.wanted.map(({ frame }) => frame);
    for (let k = -alongside; k <= alongside; k++) asked.push(Math.min(Math.max(latest + k, 0), last));
    return [...new Set(asked)].filter((frame) => !this.made.has(frame));
  }

  private async make(frames: readonly number[], asked: readonly Wanted[]): Promise<void> {
    try {
      await makeStills(
        this.clip,
        frames.map((frame) => ({ frame, file: this.file(frame) })),
        { ffmpeg: this.ffmpeg, ...(this.widthPx === null ? {} : { widthPx: this.widthPx }) },
      );
      frames.forEach((frame) => this.made.add(frame));
      for (const { frame, done } of asked) readFile(this.file(frame)).then(done.resolve, done.reject);
    } catch (error) {
      for (const { done } of asked) done.reject(error);
    }
  }

  private file(frame: number): string {
    return path.join(this.folder, `${this.widthPx ?? 'full'}-${frame}.jpg`);
  }
}

interface PromiseWithResolvers<T> {
  promise: Promise<T>;
  resolve: (value: T) => void;
  reject: (reason: unknown) => void;
}

/** Promise.withResolvers, which Node 20 does not have. */
function withResolvers<T>(): PromiseWithResolvers<T> {
  let resolve!: (value: T) => void;
  let reject!: (reason: unknown) => void;
  const promise = new Promise<T>((yes, no) => {
    resolve = yes;
    reject = no;
  });
  return { promise, resolve, reject };
}

/** Pictures by frame index for the screens, of any clip, at a pane's size or in full. */
export class StillShelf {
  private folder: Promise<string> | null = null;
  private readonly clips = new Map<string, Promise<ClipStills>>();

  constructor(private readonly ffmpeg: () => string) {}

  /**
   * The stills of a clip at a width; null for the clip's own.
   *
   * @param clipOf what to know of the clip, asked once
   */
  of(sha256: string, widthPx: number | null, clipOf: () => Promise<StillsClip>): Promise<ClipStills> {
    const key = `${sha256}-${widthPx ?? 'full'}`;
    let stills = this.clips.get(key);
    if (!stills) {
      stills = this.open(sha256, widthPx, clipOf);
      this.clips.set(key, stills);
      stills.catch(() => this.clips.delete(key));
    }
    return stills;
  }

  private async open(
    sha256: string,
    widthPx: number | null,
    clipOf: () => Promise<StillsClip>,
  ): Promise<ClipStills> {
    this.folder ??= mkdtemp(path.join(tmpdir(), 'lockstep-pictures-'));
    return new ClipStills(await clipOf(), widthPx, path.join(await this.folder, sha256), this.ffmpeg());
  }

  async close(): Promise<void> {
    this.clips.clear();
    if (this.folder) await rm(await this.folder, { recursive: true, force: true });
  }
}
