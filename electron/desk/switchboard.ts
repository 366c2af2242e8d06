import {
  commands,
  callSchema,
  type Answer,
  type CommandName,
  type DeskEvent,
  type InputOf,
  type OutputOf,
} from '../../shared-lib/contract/desk.ts';
import { Failure, LostClip } from '../../shared-lib/contract/errors.ts';
import type { Log } from '../log/log.ts';
import type { Job } from './follow-clip.ts';

export type Handlers = {
  [Name in CommandName]: (input: InputOf<Name>, job: Job) => Promise<OutputOf<Name>>;
};

/** The one way in for every shell: checks what comes, runs it as a job that can be stopped, and puts failures in words. */
export class Switchboard {
  private readonly running = new Map<string, AbortController>();
  private readonly listeners = new Set<(event: DeskEvent) => void>();

  constructor(
    private readonly handlers: Handlers,
    private readonly log: Pick<Log, 'write' | 'shapeOf'>,
    /** Puts what is said of files in words that the user knows. */
    private readonly inWords: (words: string) => Promise<string> = (words) => Promise.resolve(words),
  ) {}

  async answer(message: unknown): Promise<Answer> {
    const call = callSchema.safeParse(message);
    if (!call.success) return fault('The screen asked for something that does not exist.');
    const { command, job: name } = call.data;
    const input = commands[command].input.safeParse(call.data.input);
    if (!input.success) return fault(`The screen asked for ${command} with words that make no sense.`);
    const stop = new AbortController();
    this.running.set(name, stop);
    let told = -1;
    const job: Job = {
      signal: stop.signal,
      onProgress: (share) => {
        // A hundred steps are enough for an eye.
        const percent = Math.floor(100 * Math.min(Math.max(share, 0), 1));
        if (percent <= told) return;
        told = percent;
        this.tell({ type: 'progress', job: name, share: percent / 100 });
      },
      onTraced: (points, side) => this.tell({ type: 'traced', job: name, side: side ?? null, points }),
    };
    try {
      const handler = this.handlers[command] as (input: unknown, job: Job) => Promise<unknown>;
      return { kind: 'done', output: await handler(input.data, job) };
    } catch (error) {
      if (error instanceof Failure) {
        const { kind } = error;
        const [what, advice] = await Promise.all([error.what, error.advice].map(this.inWords));
        if (kind !== 'stopped') this.log.write({ event: 'failed', command, kind });
        const lost = error instanceof LostClip ? { lost: error.clip } : {};
        return { kind: 'failed', failure: { kind, what, advice, ...lost } };
      }
      if (stop.signal.aborted) {
        return {
          kind: 'failed',
          failure: { kind: 'stopped', what: 'Stopped.', advice: 'Start it again when you like.' },
        };
      }
      if (process.env.LOCKSTEP_DEBUG) console.error(error);
      this.log.write({ event: 'fault', where: command, error: this.log.shapeOf(error) });
      return fault(await this.inWords(error instanceof Error ? error.message : String(error)));
    } finally {
      this.running.delete(name);
    }
  }

  stop(job: string): void {
    this.running.get(job)?.abort();
  }

  /** @returns how to stop listening */
  listen(listener: (event: DeskEvent) => void): () => void {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }

  /** Whether any command is under way. */
  isBusy(): boolean {
    return this.running.size > 0;
  }

  stopAll(): void {
    for (const stop of this.running.values()) stop.abort();
  }

  private tell(event: DeskEvent): void {
    for (const listener of this.listeners) listener(event);
  }
}

const fault = (detail: string): Answer => ({
  kind: 'failed',
  failure: {
    kind: 'fault',
    what: `Lockstep failed: ${detail.replace(/\s*\n\s*/g, ' ')}`,
    advice: 'This is a fault of the program: please report it with these words. Your review is kept.',
  },
});
