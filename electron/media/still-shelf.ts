import { mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { stillPasses, type StillsClip } from './stills.ts';
import { streamStills } from './still-stream.ts';

interface Wanted {
  frame: number;
  done: PromiseWithResolvers<Buffer>;
}

/** Frames made along with the one that was asked for, each way: who looks at one steps to the next. */
const alongside = 8;
/** Stills that nobody has asked for yet are made this many in one pass. */
const mostAtOnce = 48;

interface Pass {
  frames: ReadonlySet<number>;
  stop: AbortController;
}

/**
 * Stills of one clip at one width: what is asked for is made at once with its neighbours, and kept as files until the
 * program ends. One pass of ffmpeg runs at a time; a pass that owes nobody anything gives way to what is asked.
 */
class ClipStills {
  private readonly made = new Set<number>();
  /** Pictures on their way to disk. */
  private readonly fresh = new Map<number, Buffer>();
  private readonly writes = new Set<Promise<void>>();
  private wanted: Wanted[] = [];
  private ahead: number[] = [];
  private pass: Pass | null = null;
  private work: Promise<void> | null = null;
  private closed = false;

  constructor(
    private readonly clip: StillsClip,
    private readonly widthPx: number | null,
    private readonly folder: string,
    private readonly ffmpeg: string,
  ) {}

  async get(frame: number): Promise<Buffer> {
    if (this.clip.ptsS[frame] === undefined) throw new RangeError(`The clip has no frame ${frame}`);
    const fresh = this.fresh.get(frame);
    if (fresh) return fresh;
    if (this.made.has(frame)) return readFile(this.file(frame));
    const done = withResolvers<Buffer>();
    this.wanted.push({ frame, done });
    this.giveWay();
    this.start();
    return done.promise;
  }

  /** Makes these frames when nothing is asked for, in the order given. */
  prepare(frames: readonly number[]): void {
    this.ahead = frames.filter((frame) => !this.made.has(frame) && this.clip.ptsS[frame] !== undefined);
    this.start();
  }

  async close(): Promise<void> {
    this.closed = true;
    this.ahead = [];
    for (const { done } of this.wanted.splice(0)) done.reject(new Error('The program is closing.'));
    this.pass?.stop.abort();
    await this.work;
    await Promise.all(this.writes);
  }

  /** Ends a pass that owes nobody anything while others wait. */
  private giveWay(): void {
    const { pass } = this;
    if (!pass || this.wanted.length === 0) return;
    if (!this.wanted.some(({ frame }) => pass.frames.has(frame))) pass.stop.abort();
  }

  private start(): void {
    if (this.closed) return;
    this.work ??= this.makeAll().finally(() => {
      this.work = null;
    });
  }

  private async makeAll(): Promise<void> {
    await mkdir(this.folder, { recursive: true });
    for (let frames = this.next(); frames.length > 0; frames = this.next()) await this.make(frames);
  }

  /** The frames of the next pass: round the one asked for last, else of those to come. */
  private next(): number[] {
    const missing = (frame: number): boolean => !this.made.has(frame) && !this.fresh.has(frame);
    const latest = this.wanted.at(-1)?.frame;
    if (latest !== undefined) {
      const asked = new Set(this.wanted.map(({ frame }) => frame));
      for (let k = -alongside; k <= alongside; k++) asked.add(latest + k);
      // A pass that has begun goes on cheaply through what is to come anyway.
      const ahead = new Set(this.ahead);
      for (let k = 0; k <= mostAtOnce; k++) if (ahead.has(latest + k)) asked.add(latest + k);
      const there = [...asked].filter((frame) => missing(frame) && this.clip.ptsS[frame] !== undefined);
      return stillPasses(this.clip.ptsS, there).find((pass) => pass.includes(latest)) ?? [];
    }
    this.ahead = this.ahead.filter(missing);
    return stillPasses(this.clip.ptsS, this.ahead.slice(0, mostAtOnce))[0] ?? [];
  }

  private async make(frames: readonly number[]): Promise<void> {
    const stop = new AbortController();
    this.pass = { frames: new Set(frames), stop };
    const options = { ffmpeg: this.ffmpeg, widthPx: this.widthPx ?? undefined, signal: stop.signal };
    try {
      await streamStills(this.clip, frames, options, (frame, jpeg) => this.take(frame, jpeg));
    } catch (error) {
      if (stop.signal.aborted) return;
      // What cannot be read is not tried again by itself.
      this.ahead = this.ahead.filter((frame) => !frames.includes(frame));
      this.settle(
        ({ frame }) => frames.includes(frame),
        ({ done }) => done.reject(error),
      );
    } finally {
      this.pass = null;
    }
  }

  private take(frame: number, jpeg: Buffer): void {
    this.fresh.set(frame, jpeg);
    this.settle(
      (each) => each.frame === frame,
      ({ done }) => done.resolve(jpeg),
    );
    this.giveWay();
    // A disk that is full costs the picture's keeping, not the picture.
    const write = writeFile(this.file(frame), jpeg)
      .then(() => void this.made.add(frame))
      .catch(() => undefined)
      .finally(() => {
        this.fresh.delete(frame);
        this.writes.delete(write);
      });
    this.writes.add(write);
  }

  private settle(which: (wanted: Wanted) => boolean, how: (wanted: Wanted) => void): void {
    const settled = this.wanted.filter(which);
    this.wanted = this.wanted.filter((each) => !which(each));
    settled.forEach(how);
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

  /** Deletes the pictures of these clips. */
  async forget(clips: ReadonlySet<string>): Promise<void> {
    for (const [key, opened] of this.clips) {
      const sha256 = key.slice(0, 64);
      if (!clips.has(sha256)) continue;
      this.clips.delete(key);
      await opened.then((stills) => stills.close()).catch(() => undefined);
      await rm(path.join(await this.folder!, sha256), { recursive: true, force: true });
    }
  }

  async close(): Promise<void> {
    const opened = [...this.clips.values()];
    this.clips.clear();
    await Promise.all(opened.map((each) => each.then((stills) => stills.close()).catch(() => undefined)));
    if (this.folder) await rm(await this.folder, { recursive: true, force: true });
  }
}
