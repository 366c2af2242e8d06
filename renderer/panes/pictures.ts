import { bridge } from '../state/store.ts';

/** Bitmaps kept of each kind: a coarse one has at most 640 x 360 x 4 bytes, 0.9 MB; a sharp one up to ten times that. */
const mostKept = { coarse: 90, sharp: 6 } as const;
const mostFetching = 4;
/** A picture that cannot be had is asked for this often. */
const mostTries = 3;
/** Bitmaps made ready round the frame shown, ahead and behind. */
const [ahead, behind] = [16, 8];
/** A frame shown this long is a frame looked at: its picture is then brought in full. */
const restMs = 70;

type Kind = keyof typeof mostKept;

/**
 * Pictures of one clip by frame, decoded off the main thread. Coarse ones of the whole rep are kept as they came, a few
 * kilobytes each, so that any frame is a decode away; the sharp one of a frame follows when the playhead rests on it.
 */
export class Pictures {
  private readonly stills: Record<Kind, Stills>;
  private readonly listeners = new Set<(frame: number) => void>();
  private resting: ReturnType<typeof setTimeout> | undefined;

  constructor(
    sha256: string,
    widthPx: { coarse: number; sharp: number },
    private readonly count: number,
  ) {
    const tell = (frame: number): void => this.listeners.forEach((listener) => listener(frame));
    this.stills = {
      coarse: new Stills(sha256, widthPx.coarse, mostKept.coarse, tell),
      sharp: new Stills(sha256, widthPx.sharp, mostKept.sharp, tell),
    };
  }

  /** Hears of every picture that arrives. @returns how to stop */
  listen(listener: (frame: number) => void): () => void {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }

  /** The best picture of a frame so far. */
  get(frame: number): { picture: ImageBitmap; kind: Kind } | null {
    for (const kind of ['sharp', 'coarse'] as const) {
      const picture = this.stills[kind].get(frame);
      if (picture) return { picture, kind };
    }
    return null;
  }

  /** The frame that is shown now. */
  show(frame: number): void {
    this.stills.coarse.want(around(frame, ahead, behind, this.count));
    this.stills.sharp.want([]);
    clearTimeout(this.resting);
    this.resting = setTimeout(() => this.stills.sharp.want(around(frame, 1, 1, this.count)), restMs);
  }

  /** Fetches coarse pictures of these frames whenever nothing else is to do; says when all have come. */
  prepare(frames: readonly number[], onReady: () => void): void {
    this.stills.coarse.prepare(frames, onReady);
  }

  /** Lets go of everything; what is shown after that is fetched anew. */
  clear(): void {
    clearTimeout(this.resting);
    for (const stills of Object.values(this.stills)) stills.clear();
  }
}

/** Stills of one width: files as they came, and the bitmaps of a few. */
class Stills {
  private readonly files = new Map<number, Blob>();
  private readonly kept = new Map<number, ImageBitmap>();
  private readonly decoding = new Set<number>();
  private readonly coming = new Map<number, AbortController>();
  private wish: readonly number[] = [];
  private later: readonly number[] = [];
  private onReady: (() => void) | null = null;
  private readonly failed = new Map<number, number>();

  constructor(
    private readonly sha256: string,
    private readonly widthPx: number,
    private readonly mostKept: number,
    private readonly tell: (frame: number) => void,
  ) {}

  get(frame: number): ImageBitmap | null {
    const found = this.kept.get(frame);
    if (!found) return null;
    // What was looked at last is dropped last.
    this.kept.delete(frame);
    this.kept.set(frame, found);
    return found;
  }

  /** Frames wanted as bitmaps, the most wanted first; what is no longer wanted is let go. */
  want(frames: readonly number[]): void {
    this.wish = frames;
    const wanted = new Set(frames);
    if (frames.some((frame) => !this.files.has(frame))) {
      for (const [frame, stop] of this.coming) if (!wanted.has(frame)) stop.abort();
    }
    this.goOn();
  }

  prepare(frames: readonly number[], onReady: () => void): void {
    this.later = frames;
    this.onReady = onReady;
    this.goOn();
  }

  clear(): void {
    this.onReady = null;
    this.wish = [];
    this.later = [];
    for (const stop of this.coming.values()) stop.abort();
    for (const picture of this.kept.values()) picture.close();
    this.kept.clear();
    this.files.clear();
  }

  private goOn(): void {
    for (const frame of this.wish) {
      const file = this.files.get(frame);
      // Two at a time: the first is the one that is waited for.
      if (file && this.decoding.size < 2) void this.decode(frame, file);
    }
    while (this.coming.size < mostFetching) {
      const missing = (frame: number): boolean =>
        !this.coming.has(frame) && !this.files.has(frame) && (this.failed.get(frame) ?? 0) < mostTries;
      const frame = this.wish.find(missing) ?? this.later.find(missing);
      if (frame === undefined) {
        if (this.coming.size > 0) return;
        this.onReady?.();
        this.onReady = null;
        return;
      }
      void this.fetchOne(frame);
    }
  }

  private async fetchOne(frame: number): Promise<void> {
    const stop = new AbortController();
    this.coming.set(frame, stop);
    try {
      const response = await fetch(bridge.transport.stillUrl(this.sha256, frame, this.widthPx), {
        signal: stop.signal,
      });
      if (!response.ok) return void this.failed.set(frame, (this.failed.get(frame) ?? 0) + 1);
      const file = await response.blob();
      if (!stop.signal.aborted) this.files.set(frame, file);
    } catch {
      // Stopped, or the program was closed: commands say so.
    } finally {
      this.coming.delete(frame);
      this.goOn();
    }
  }

  private async decode(frame: number, file: Blob): Promise<void> {
    if (this.kept.has(frame) || this.decoding.has(frame)) return;
    this.decoding.add(frame);
    try {
      const picture = await createImageBitmap(file);
      if (this.files.get(frame) !== file) return picture.close();
      this.kept.set(frame, picture);
      for (const [oldest, old] of this.kept) {
        if (this.kept.size <= this.mostKept) break;
        old.close();
        this.kept.delete(oldest);
      }
      this.tell(frame);
    } catch {
      this.files.delete(frame);
    } finally {
      this.decoding.delete(frame);
      this.goOn();
    }
  }
}

/** A frame, then its neighbours outward, more of them ahead. */
function around(frame: number, forward: number, back: number, count: number): number[] {
  const frames = [frame];
  for (let k = 1; k <= Math.max(forward, back); k++) {
    if (k <= forward && frame + k < count) frames.push(frame + k);
    if (k <= back && frame - k >= 0) frames.push(frame - k);
  }
  return frames;
}
