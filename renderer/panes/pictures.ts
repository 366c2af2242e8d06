import { bridge } from '../state/store.ts';

/** Decoded pictures kept per clip, and how many are fetched at once. */
const mostKept = 220;
const mostFetching = 4;

/** Pictures of one clip at one width by frame: fetched ahead round the playhead, decoded off the main thread. */
export class Pictures {
  private readonly kept = new Map<number, ImageBitmap>();
  private readonly coming = new Map<number, AbortController>();
  private readonly listeners = new Set<(frame: number) => void>();
  private wish: number[] = [];

  constructor(
    private readonly sha256: string,
    private readonly widthPx: number | null,
  ) {}

  /** Hears of every picture that arrives. @returns how to stop */
  listen(listener: (frame: number) => void): () => void {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }

  get(frame: number): ImageBitmap | null {
    const found = this.kept.get(frame);
    if (!found) return null;
    // What was looked at last is dropped last.
    this.kept.delete(frame);
    this.kept.set(frame, found);
    return found;
  }

  /** Frames wanted, the most wanted first; what is no longer wanted is let go. */
  want(frames: readonly number[]): void {
    this.wish = frames.filter((frame) => !this.kept.has(frame));
    const wanted = new Set(frames);
    for (const [frame, stop] of this.coming) if (!wanted.has(frame)) stop.abort();
    this.fetchMore();
  }

  /** Lets go of everything; what is wanted after that is fetched anew. */
  clear(): void {
    this.wish = [];
    for (const stop of this.coming.values()) stop.abort();
    for (const picture of this.kept.values()) picture.close();
    this.kept.clear();
  }

  private fetchMore(): void {
    while (this.coming.size < mostFetching) {
      const frame = this.wish.find((each) => !this.coming.has(each) && !this.kept.has(each));
      if (frame === undefined) return;
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
      if (!response.ok) return;
      const picture = await createImageBitmap(await response.blob());
      if (stop.signal.aborted) return picture.close();
      this.kept.set(frame, picture);
      this.dropOldest();
      for (const listener of this.listeners) listener(frame);
    } catch {
      // Stopped, or the program was closed: commands say so.
    } finally {
      this.coming.delete(frame);
      this.fetchMore();
    }
  }

  private dropOldest(): void {
    for (const [frame, picture] of this.kept) {
      if (this.kept.size <= mostKept) return;
      picture.close();
      this.kept.delete(frame);
    }
  }
}
