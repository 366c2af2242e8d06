import { setTimeout as wait } from 'node:timers/promises';
import type { CommandName } from '../../shared-lib/contract/desk.ts';
import type { Handlers } from './switchboard.ts';

/** Nothing was asked for so long before work that nobody waits for begins, milliseconds: screens ask one thing after another. */
const restMs = 500;

/** What somebody waits for goes first: work in the background asks here before it begins something long. */
export class AskedFirst {
  private underWay = 0;
  private ended = Promise.resolve();
  private end: () => void = () => undefined;

  /** @param rest how long to wait; in tests nobody waits in real time */
  constructor(private readonly rest: (signal: AbortSignal) => Promise<unknown> = restFor) {}

  /** Something that somebody waits for. */
  async during<T>(work: () => Promise<T>): Promise<T> {
    if (this.underWay++ === 0) this.ended = new Promise((resolve) => (this.end = resolve));
    try {
      return await work();
    } finally {
      if (--this.underWay === 0) this.end();
    }
  }

  /** Until nothing has been asked for a moment; throws where it was stopped meanwhile. */
  async whenRested(signal: AbortSignal): Promise<void> {
    for (;;) {
      await untilStopped(this.ended, signal);
      const seen = this.ended;
      await this.rest(signal);
      if (this.ended === seen && this.underWay === 0) return;
    }
  }
}

const restFor = (signal: AbortSignal): Promise<unknown> => wait(restMs, undefined, { signal });

function untilStopped(ended: Promise<void>, signal: AbortSignal): Promise<void> {
  signal.throwIfAborted();
  return new Promise((resolve, reject) => {
    const stop = (): void => reject(signal.reason as Error);
    signal.addEventListener('abort', stop, { once: true });
    void ended.then(() => {
      signal.removeEventListener('abort', stop);
      resolve();
    });
  });
}

/** What screens ask by themselves, or answer at once. */
const aside: ReadonlySet<CommandName> = new Set([
  'queue',
  'queueClips',
  'leaveQueue',
  'keepReview',
  'keepLifter',
  'prepareStills',
  'keepProposals',
] as const);

/** The same handlers, each counted as something that somebody waits for. */
export const waitedFor = (handlers: Handlers, first: AskedFirst): Handlers =>
  Object.fromEntries(
    (Object.entries(handlers) as [CommandName, (input: unknown, job: unknown) => Promise<unknown>][]).map(
      ([name, handler]) => [
        name,
        aside.has(name) ? handler : (input: unknown, job: unknown) => first.during(() => handler(input, job)),
      ],
    ),
  ) as unknown as Handlers;
