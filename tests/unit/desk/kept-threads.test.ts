import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { describe, expect, it } from 'vitest';
import { endIdle, onKeptThread, startAhead } from '../../../electron/kept-threads.ts';
import { restarts } from '../../../electron/restarts.ts';

const worker = pathToFileURL(path.join(import.meta.dirname, 'kept-worker.mjs'));
const run = (input: string, job = {}, keeping?: Parameters<typeof onKeptThread>[3]) =>
  onKeptThread<{ threadId: number; works: number }>(worker, input, job, keeping);

describe('a thread that stays', () => {
  it('does the next work too, and another one what comes meanwhile', async () => {
    const first = await run('answer');
    const second = await run('answer');
    expect(second).toEqual({ threadId: first.threadId, works: first.works + 1 });
    const [one, other] = await Promise.all([run('answer'), run('answer')]);
    expect(one.threadId).toBe(first.threadId);
    expect(other.threadId).not.toBe(first.threadId);
  });

  it('goes on after a failure, which is told as it was', async () => {
    const { threadId } = await run('answer');
    await expect(run('fail')).rejects.toMatchObject({ kind: 'noBar', what: 'There is no bar.' });
    expect((await run('answer')).threadId).toBe(threadId);
  });

  it.each(['turn', 'wait'])(
    'leaves work that is stopped, and is there again: it can only %s',
    async (input) => {
      const before = await run('answer');
      const stop = new AbortController();
      const ended = run(input, { signal: stop.signal, onProgress: () => stop.abort() });
      if (input === 'wait') setTimeout(() => stop.abort(), 50);
      await expect(ended).rejects.toMatchObject({ kind: 'stopped' });
      // The thread hears of it a moment later.
      await expect.poll(async () => (await run('answer')).threadId).toBe(before.threadId);
    },
  );

  it('is waited for where it has something to end first, and is there again at once', async () => {
    const { threadId } = await run('answer');
    const stop = new AbortController();
    setTimeout(() => stop.abort(), 50);
    const ended = run('tidy', { signal: stop.signal }, { keptMs: 60_000, stopping: 'when asked' });
    await expect(ended).rejects.toMatchObject({ kind: 'stopped' });
    expect((await run('answer')).threadId).toBe(threadId);
  });

  it('ends when nobody needs it for as long as it is kept', async () => {
    const { threadId } = await run('answer', {}, { keptMs: 0, stopping: 'at once' });
    await new Promise((resolve) => setTimeout(resolve, 200));
    expect((await run('answer')).threadId).not.toBe(threadId);
  });

  it('can be there before its first work, and none is started where one waits', async () => {
    endIdle(worker);
    startAhead(worker);
    startAhead(worker);
    const first = await run('answer');
    expect(first.works).toBe(1);
    startAhead(worker);
    expect((await run('answer')).threadId).toBe(first.threadId);
  });

  it('ends when what it holds is wanted elsewhere, but not while it works', async () => {
    const { threadId } = await run('answer');
    const working = run('answer');
    endIdle(worker);
    expect((await working).threadId).toBe(threadId);
    endIdle(worker);
    expect((await run('answer')).threadId).not.toBe(threadId);
  });

  it('is started again when it dies at its work, once', async () => {
    let told = 0;
    const hear = (): void => void told++;
    restarts.subscribe(hear);
    await expect(run('exit')).rejects.toThrow('A thread died twice at its work.');
    restarts.unsubscribe(hear);
    expect(told).toBe(1);
    expect((await run('answer')).works).toBeGreaterThan(0);
  });
});
