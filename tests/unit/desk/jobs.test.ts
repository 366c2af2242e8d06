import { setTimeout as wait } from 'node:timers/promises';
import { describe, expect, it } from 'vitest';
import { parts, sideBySide, unwatched } from '../../../electron/desk/jobs.ts';

describe('parts of a job side by side', () => {
  it('give their results in order, whichever ends first', async () => {
    const results = await sideBySide(
      unwatched(),
      () => wait(20, 'slow'),
      () => Promise.resolve('quick'),
    );
    expect(results).toEqual(['slow', 'quick']);
  });

  it('are stopped when one fails, and waited for before its failure is told', async () => {
    const seen: string[] = [];
    const endless = (signal: AbortSignal): Promise<never> =>
      new Promise((_, reject) =>
        signal.addEventListener('abort', () => {
          seen.push('stopped');
          setTimeout(() => {
            seen.push('cleaned up');
            reject(new Error('stopped'));
          }, 20);
        }),
      );
    const failing = async (): Promise<never> => {
      await wait(5);
      throw new Error('the first');
    };
    await expect(sideBySide(unwatched(), endless, failing)).rejects.toThrow('the first');
    expect(seen).toEqual(['stopped', 'cleaned up']);
  });

  it('hear of the caller’s own stop', async () => {
    const stop = new AbortController();
    const heard = sideBySide(
      { signal: stop.signal },
      (signal) => new Promise((resolve) => signal.addEventListener('abort', () => resolve('heard'))),
    );
    stop.abort();
    expect(await heard).toEqual(['heard']);
  });

  it('add up to one progress that never goes back', () => {
    const told: number[] = [];
    const job = { ...unwatched(), onProgress: (share: number) => told.push(share) };
    const work = parts(job, { one: 3, other: 1 });
    work.one.onProgress(0.5);
    work.other.onProgress(1);
    work.one.onProgress(0.2);
    work.one.onProgress(1);
    expect(told).toEqual([0.375, 0.625, 0.625, 1]);
  });
});
