import type { Job } from './follow-clip.ts';
import { throwIfStopped } from '../media/process.ts';

/** Work that several callers wait for: each hears its progress and can leave; the last to leave stops it. */
export class SharedWork<T> {
  private readonly stop = new AbortController();
  private readonly waiting = new Set<Job>();
  private share = 0;
  private readonly made: Promise<T>;

  constructor(work: (job: Job) => Promise<T>) {
    this.made = work({
      signal: this.stop.signal,
      onProgress: (share) => {
        this.share = share;
        for (const job of this.waiting) job.onProgress(share);
      },
      onTraced: (points, side) => {
        for (const job of this.waiting) job.onTraced?.(points, side);
      },
    });
    // Whoever waits hears of a failure; where nobody does any more, there is nothing to tell.
    this.made.catch(() => undefined);
  }

  /** Settles with the work, whoever waits. */
  get settled(): Promise<'made' | 'failed'> {
    return this.made.then(
      () => 'made',
      () => 'failed',
    );
  }

  /** Everybody left before it was done: it cannot be joined any more. */
  get isStopped(): boolean {
    return this.stop.signal.aborted;
  }

  /** @throws Failure 'stopped' as soon as the caller's own signal says so; what the work throws */
  async join(job: Job): Promise<T> {
    throwIfStopped(job.signal);
    this.waiting.add(job);
    if (this.share > 0) job.onProgress(this.share);
    let leave!: () => void;
    const left = new Promise<void>((resolve) => (leave = resolve));
    job.signal.addEventListener('abort', leave, { once: true });
    try {
      await Promise.race([this.settled, left]);
      this.waiting.delete(job);
      if (job.signal.aborted && this.waiting.size === 0) {
        this.stop.abort();
        // What was begun is cleaned up before the caller goes on.
        await this.settled;
      }
      throwIfStopped(job.signal);
      return await this.made;
    } finally {
      this.waiting.delete(job);
      job.signal.removeEventListener('abort', leave);
    }
  }
}
