import { describe, expect, it } from 'vitest';
import { AskedFirst, waitedFor } from '../../../electron/desk/asked-first.ts';
import type { Handlers } from '../../../electron/desk/switchboard.ts';

const signal = new AbortController().signal;

/** Something that goes on until it is let end. */
function held(): { work: () => Promise<string>; end: () => void } {
  let end: () => void = () => undefined;
  const ended = new Promise<string>((resolve) => (end = () => resolve('done')));
  return { work: () => ended, end };
}
const settle = () => new Promise((resolve) => setImmediate(resolve));

describe('work that nobody waits for', () => {
  it('begins when everything that somebody waits for has ended, and what was asked meanwhile', async () => {
    const rests: (() => void)[] = [];
    const first = new AskedFirst(() => new Promise<void>((resolve) => rests.push(resolve)));
    const [one, two, three] = [held(), held(), held()];
    const answers = [first.during(one.work), first.during(two.work)];
    let begun = false;
    const rested = first.whenRested(signal).then(() => (begun = true));
    one.end();
    await settle();
    expect(rests).toHaveLength(0);
    two.end();
    await settle();
    expect(rests).toHaveLength(1);
    // Something is asked while it rests: it waits for that too.
    answers.push(first.during(three.work));
    rests[0]();
    await settle();
    expect(begun).toBe(false);
    three.end();
    await settle();
    rests[1]();
    await rested;
    expect(begun).toBe(true);
    expect(await Promise.all(answers)).toEqual(['done', 'done', 'done']);
  });

  it('begins after what failed too, and not at all once it is stopped', async () => {
    const first = new AskedFirst(() => Promise.resolve());
    await expect(first.during(() => Promise.reject(new Error('no such clip')))).rejects.toThrow(
      'no such clip',
    );
    await first.whenRested(signal);
    const stop = new AbortController();
    void first.during(held().work);
    const waits = first.whenRested(stop.signal);
    stop.abort();
    await expect(waits).rejects.toThrow();
  });

  it('does not wait for what the screens ask by themselves', async () => {
    const first = new AskedFirst(() => Promise.resolve());
    const never = held().work;
    const handlers = waitedFor({ queue: never, compare: never } as unknown as Handlers, first);
    void handlers.queue({}, {} as never);
    await first.whenRested(signal);
    void handlers.compare({ id: 'a' }, {} as never);
    const stop = new AbortController();
    const waits = first.whenRested(stop.signal);
    await settle();
    stop.abort();
    await expect(waits).rejects.toThrow();
  });
});
