import { mkdtemp, readdir, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { editionOf } from '../../../electron/reviews/edition.ts';
import type { Job } from '../../../electron/desk/follow-clip.ts';
import { unwatched } from '../../../electron/desk/jobs.ts';
import { Results } from '../../../electron/reviews/results.ts';

let root: string;
beforeEach(async () => {
  root = await mkdtemp(path.join(tmpdir(), 'lockstep-results-'));
});
afterEach(() => rm(root, { recursive: true, force: true }));

describe('kept results', () => {
  it('are worked out once, also after the program was closed, and keep typed arrays and NaN', async () => {
    let worked = 0;
    const work = (): Promise<Float64Array> => {
      worked++;
      return Promise.resolve(Float64Array.of(1, NaN));
    };
    const first = new Results(root, 'one');
    await Promise.all([
      first.of('trace', { clip: 'a' }, unwatched(), work),
      first.of('trace', { clip: 'a' }, unwatched(), work),
    ]);
    const again = await new Results(root, 'one').of('trace', { clip: 'a' }, unwatched(), work);
    expect(worked).toBe(1);
    expect(again).toEqual(Float64Array.of(1, NaN));
  });

  it('of another clip, or of another edition of the program, are not taken', async () => {
    const of = (edition: string, clip: string, value: number): Promise<number> =>
      new Results(root, edition).of('trace', { clip }, unwatched(), () => Promise.resolve(value));
    expect(await of('one', 'a', 1)).toBe(1);
    expect(await of('one', 'b', 2)).toBe(2);
    expect(await of('two', 'a', 3)).toBe(3);
    expect(await of('one', 'a', 4)).toBe(1);
  });

  it('of work that failed are not kept', async () => {
    const results = new Results(root, 'one');
    await expect(results.of('trace', 1, unwatched(), () => Promise.reject(new Error('no')))).rejects.toThrow(
      'no',
    );
    expect(await results.of('trace', 1, unwatched(), () => Promise.resolve('yes'))).toBe('yes');
  });

  it('are waited for by several: each hears the progress, and who leaves stops no other', async () => {
    const results = new Results(root, 'one');
    let finish!: (value: string) => void;
    let stop: AbortSignal | undefined;
    let tell: (share: number) => void = () => undefined;
    const work = (job: Job): Promise<string> => {
      stop = job.signal;
      tell = job.onProgress;
      return new Promise((resolve) => (finish = resolve));
    };
    const heard: number[][] = [[], []];
    const [leaves, stays] = [new AbortController(), new AbortController()];
    const first = results.of(
      'trace',
      1,
      { signal: leaves.signal, onProgress: (s) => heard[0].push(s) },
      work,
    );
    await expect.poll(() => stop).toBeDefined();
    tell(0.25);
    const second = results.of(
      'trace',
      1,
      { signal: stays.signal, onProgress: (s) => heard[1].push(s) },
      work,
    );
    tell(0.5);
    leaves.abort();
    await expect(first).rejects.toMatchObject({ kind: 'stopped' });
    expect(stop!.aborted).toBe(false);
    tell(0.75);
    finish('made');
    expect(await second).toBe('made');
    expect(heard).toEqual([
      [0.25, 0.5],
      [0.25, 0.5, 0.75],
    ]);
  });

  it('are stopped when the last one leaves, and begun again for the next', async () => {
    const results = new Results(root, 'one');
    let begun = 0;
    const work = ({ signal }: Job): Promise<number> => {
      begun++;
      if (begun === 2) return Promise.resolve(2);
      return new Promise((_, reject) => signal.addEventListener('abort', () => reject(new Error('stopped'))));
    };
    const stop = new AbortController();
    const first = results.of('trace', 1, { signal: stop.signal, onProgress: () => undefined }, work);
    await expect.poll(() => begun).toBe(1);
    stop.abort();
    await expect(first).rejects.toMatchObject({ kind: 'stopped' });
    expect(await results.of('trace', 1, unwatched(), work)).toBe(2);
  });

  it('are held in memory for the last few only; the others come from disk, the same', async () => {
    const results = new Results(root, 'one');
    let worked = 0;
    const of = (k: number): Promise<{ k: number }> =>
      results.of('trace', k, unwatched(), () => {
        worked++;
        return Promise.resolve({ k });
      });
    const first = await of(0);
    for (let k = 1; k < 40; k++) await of(k);
    const last = await of(39);
    expect(await of(39)).toBe(last);
    const again = await of(0);
    expect(again).toEqual(first);
    expect(again).not.toBe(first);
    expect(worked).toBe(40);
  });

  it('go with their edition, and nothing else goes', async () => {
    for (const edition of ['one', 'two'])
      await new Results(root, edition).of('trace', 1, unwatched(), () => Promise.resolve(1));
    await writeFile(path.join(root, 'results', 'trace-of-old'), 'x');
    await new Results(root, 'two').tidy();
    expect(await readdir(path.join(root, 'results'))).toEqual(['two']);
    expect(await readdir(path.join(root, 'results', 'two'))).toHaveLength(2);
  });

  it('are given where they cannot be kept', async () => {
    // A file stands where the folder would be made.
    await writeFile(path.join(root, 'results'), '');
    expect(await new Results(root, 'one').of('trace', 1, unwatched(), () => Promise.resolve(7))).toBe(7);
  });

  it('belong to an edition that changes with any of its scripts', async () => {
    await writeFile(path.join(root, 'a.js'), '1');
    const before = await editionOf(root);
    expect(await editionOf(root)).toBe(before);
    await writeFile(path.join(root, 'a.js'), '2');
    expect(await editionOf(root)).not.toBe(before);
  });
});
