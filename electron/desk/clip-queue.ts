import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { mkdir } from 'node:fs/promises';
import writeFileAtomic from 'write-file-atomic';
import { z } from 'zod';
import { Failure } from '../../shared-lib/contract/errors.ts';
import type { Lift } from '../../shared-lib/contract/lift.ts';
import { isDone, queuedClipSchema, type QueuedClip } from '../../shared-lib/contract/queue.ts';
import type { ClipRef } from '../../shared-lib/contract/review.ts';
import type { Job } from './follow-clip.ts';

/** What became of a clip: ready, or what a person has to look at. */
export type ClipFindings = Pick<QueuedClip, 'said' | 'advice'> & { stage: 'ready' | 'needs you' };

/** What is done to each clip; `onStage` tells what is being done. */
export type ClipWork = (
  item: Pick<QueuedClip, 'clip' | 'lift'>,
  job: Job,
  onStage: (stage: 'reading' | 'following') => void,
) => Promise<ClipFindings>;

const fileSchema = z.object({ schema: z.literal(1), clips: z.array(queuedClipSchema) });

/**
 * Clips that are read, followed and checked one after the other, whatever the coach does meanwhile. One at a time, so that
 * memory holds one clip's pictures and a core is left for the coach; a clip that fails stops no other.
 */
export class ClipQueue {
  private items: QueuedClip[] = [];
  private readonly opened: Promise<void>;
  private running: { sha256: string; stop: AbortController; ended: Promise<void> } | null = null;
  private isClosed = false;
  private writing: Promise<unknown> = Promise.resolve();

  /** @param file where the queue is kept, so that it goes on after the program was closed */
  constructor(
    private readonly file: string,
    private readonly work: ClipWork,
  ) {
    this.opened = this.read();
  }

  /** Whether a clip is being worked on. */
  isBusy(): boolean {
    return this.running !== null;
  }

  async list(): Promise<QueuedClip[]> {
    await this.opened;
    this.goOn();
    return this.items.map((item) => ({ ...item }));
  }

  /** Clips that are in it already are done again for another lift only. */
  async add(clips: readonly ClipRef[], lift: Lift): Promise<QueuedClip[]> {
    await this.opened;
    for (const clip of clips) {
      const at = this.items.findIndex((item) => item.clip.sha256 === clip.sha256);
      if (at >= 0 && this.items[at].lift === lift && this.items[at].stage !== 'needs you') continue;
      if (at >= 0) await this.leave(clip.sha256);
      this.items.push({ clip, lift, stage: 'waiting', share: 0, said: '', advice: '' });
    }
    await this.keep();
    return this.list();
  }

  async remove(sha256: string): Promise<QueuedClip[]> {
    await this.opened;
    await this.leave(sha256);
    await this.keep();
    return this.list();
  }

  /** Takes these clips out, whatever is being done to them. */
  async leaveAll(clips: ReadonlySet<string>): Promise<void> {
    await this.opened;
    for (const sha256 of clips) await this.leave(sha256);
    await this.keep();
  }

  /** Stops what is under way; what was not done is done when the program is opened again. */
  async close(): Promise<void> {
    this.isClosed = true;
    const { running } = this;
    running?.stop.abort();
    await running?.ended;
    await this.writing;
  }

  private async leave(sha256: string): Promise<void> {
    this.items = this.items.filter((item) => item.clip.sha256 !== sha256);
    const { running } = this;
    if (running?.sha256 !== sha256) return;
    running.stop.abort();
    await running.ended;
  }

  private goOn(): void {
    if (this.running || this.isClosed) return;
    const next = this.items.find(({ stage }) => stage === 'waiting');
    if (!next) return;
    const stop = new AbortController();
    const ended = this.take(next, stop.signal).finally(() => {
      this.running = null;
      this.goOn();
    });
    this.running = { sha256: next.clip.sha256, stop, ended };
  }

  private async take(item: QueuedClip, signal: AbortSignal): Promise<void> {
    item.stage = 'reading';
    const job: Job = { signal, onProgress: (share) => void (item.share = Math.max(item.share, share)) };
    try {
      Object.assign(item, await this.work(item, job, (stage) => void (item.stage = stage)), { share: 1 });
    } catch (error) {
      if (signal.aborted) {
        Object.assign(item, { stage: 'waiting', share: 0 });
        return;
      }
      Object.assign(item, { stage: 'needs you', share: 1 }, inWords(error));
    }
    await this.keep();
  }

  private async read(): Promise<void> {
    const text = await readFile(this.file, 'utf8').catch(() => null);
    if (text === null) return;
    const kept = fileSchema.safeParse(parsed(text));
    // A queue that cannot be read holds nothing that could not be dropped in again.
    if (!kept.success) return;
    this.items = kept.data.clips.map((item) =>
      isDone(item) ? item : { ...item, stage: 'waiting', share: 0 },
    );
  }

  private keep(): Promise<unknown> {
    this.writing = this.writing
      .then(async () => {
        await mkdir(path.dirname(this.file), { recursive: true });
        await writeFileAtomic(this.file, JSON.stringify({ schema: 1, clips: this.items }, null, 2));
      })
      // The queue goes on without its file; what a full disk loses is the waiting list alone.
      .catch(() => undefined);
    return this.writing;
  }
}

const parsed = (text: string): unknown => {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
};

const inWords = (error: unknown): Pick<QueuedClip, 'said' | 'advice'> =>
  error instanceof Failure
    ? { said: error.what, advice: error.advice }
    : {
        said: `Lockstep failed on this clip: ${error instanceof Error ? error.message.replace(/\s*\n\s*/g, ' ') : String(error)}`,
        advice: 'The other clips go on; please report this with its words.',
      };
