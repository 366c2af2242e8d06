import { mkdir, readFile, writeFile } from 'node:fs/promises';
import path from 'node:path';
import type { Readable } from 'node:stream';
import { stillPasses, type StillsClip } from './stills.ts';
import { streamStills } from './still-stream.ts';

interface Wanted {
  frame: number;
  done: PromiseWithResolvers<Buffer>;
}

/** Frames made along with the one that was asked for, each way: who looks at one steps to the next. */
const alongside = 8;
/** Stills that nobody has asked for yet are made this many in one pass: each pass decodes from a key frame on. */
const mostAtOnce = 240;
/** A pass goes on to a frame this near; one farther on is sooner there without the pictures between. */
const nearFrames = 24;

interface Pass {
  frames: ReadonlySet<number>;
  stop: AbortController;
  /** The frame that comes out next, or lies before it. */
  at: number;
  stream: Readable | null;
}

/**
 * Stills of one clip at one width: what is asked for is made at once with its neighbours, and kept as files until the
 * program ends. One pass of ffmpeg runs at a time; a pass that owes nobody anything gives way to what is asked.
 */
export class ClipStills {
  private readonly made = new Set<number>();
  /** Pictures on their way to disk. */
  private readonly fresh = new Map<number, Buffer>();
  private readonly writes = new Set<Promise<void>>();
  private wanted: Wanted[] = [];
  /** Frames that nobody has asked for yet, in the order in which they are to be made. */
  private ahead = new Set<number>();
  private pass: Pass | null = null;
  private work: Promise<void> | null = null;
  private closed = false;
  private resting = false;

  /** @param onWanted called when something is asked for, and when it was given */
  constructor(
    private readonly clip: StillsClip,
    private readonly widthPx: number | null,
    private readonly folder: string,
    private readonly ffmpeg: string,
    private readonly onWanted: () => void,
  ) {}

  get isAsked(): boolean {
    return this.wanted.length > 0;
  }

  /** Lets ffmpeg rest where it is while somebody waits for other stills, and go on after that. */
  rest(resting: boolean): void {
    this.resting = resting;
    if (resting) this.pass?.stream?.pause();
    else this.pass?.stream?.resume();
  }

  async get(frame: number): Promise<Buffer> {
    if (this.clip.ptsS[frame] === undefined) throw new RangeError(`The clip has no frame ${frame}`);
    const fresh = this.fresh.get(frame);
    if (fresh) return fresh;
    if (this.made.has(frame)) {
      const kept = await readFile(this.file(frame)).catch(() => null);
      if (kept) return kept;
      // Systems clear folders of passing files now and then.
      this.made.delete(frame);
    }
    const done = withResolvers<Buffer>();
    this.wanted.push({ frame, done });
    this.onWanted();
    this.giveWay();
    this.start();
    return done.promise;
  }

  /** Makes these frames when nothing is asked for, in the order given. */
  prepare(frames: readonly number[]): void {
    this.ahead = new Set(
      frames.filter((frame) => this.isMissing(frame) && this.clip.ptsS[frame] !== undefined),
    );
    this.start();
  }

  async close(): Promise<void> {
    this.closed = true;
    this.ahead.clear();
    this.settle(
      () => true,
      ({ done }) => done.reject(new Error('The program is closing.')),
    );
    this.pass?.stop.abort();
    // A stream that nobody reads does not end.
    this.rest(false);
    await this.work;
    await Promise.all(this.writes);
  }

  /** Ends a pass that owes nobody anything soon while others wait. */
  private giveWay(): void {
    const { pass } = this;
    if (!pass || this.wanted.length === 0) return;
    const soon = (frame: number): boolean => pass.frames.has(frame) && frame - pass.at <= nearFrames;
    if (!this.wanted.some(({ frame }) => soon(frame))) pass.stop.abort();
  }

  private start(): void {
    if (this.closed) return;
    this.work ??= this.makeAll()
      .catch((error: unknown) => {
        this.ahead.clear();
        this.settle(
          () => true,
          ({ done }) => done.reject(error),
        );
      })
      .finally(() => {
        this.work = null;
        // Something may have been asked for when the last look at what is missing was over.
        if (this.next().length > 0) this.start();
      });
  }

  private async makeAll(): Promise<void> {
    await mkdir(this.folder, { recursive: true });
    for (let frames = this.next(); frames.length > 0; frames = this.next()) await this.make(frames);
  }

  private isMissing(frame: number): boolean {
    return !this.made.has(frame) && !this.fresh.has(frame);
  }

  /** The frames of the next pass: round the one asked for last, else of those to come. */
  private next(): number[] {
    const latest = this.wanted.at(-1)?.frame;
    if (latest !== undefined) {
      const asked = new Set(this.wanted.map(({ frame }) => frame));
      for (let k = -alongside; k <= alongside; k++) asked.add(latest + k);
      // A pass that has begun goes on cheaply through what is to come anyway.
      for (let k = 0; k <= mostAtOnce; k++) if (this.ahead.has(latest + k)) asked.add(latest + k);
      const there = [...asked].filter(
        (frame) => this.isMissing(frame) && this.clip.ptsS[frame] !== undefined,
      );
      return stillPasses(this.clip.ptsS, there).find((pass) => pass.includes(latest)) ?? [];
    }
    return stillPasses(this.clip.ptsS, [...this.ahead].slice(0, mostAtOnce))[0] ?? [];
  }

  private async make(frames: readonly number[]): Promise<void> {
    const stop = new AbortController();
    const pass: Pass = { frames: new Set(frames), stop, at: frames[0], stream: null };
    this.pass = pass;
    const onStart = (stream: Readable): void => {
      pass.stream = stream;
      this.rest(this.resting);
    };
    const options = { ffmpeg: this.ffmpeg, widthPx: this.widthPx ?? undefined, signal: stop.signal, onStart };
    try {
      await streamStills(this.clip, frames, options, (frame, jpeg) => this.take(frame, jpeg));
    } catch (error) {
      if (stop.signal.aborted) return;
      // What cannot be read is not tried again by itself.
      for (const frame of frames) this.ahead.delete(frame);
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
    // Made once, whether a disk that is full can keep it or not.
    this.ahead.delete(frame);
    if (this.pass) this.pass.at = frame;
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
    if (settled.length > 0) this.onWanted();
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
