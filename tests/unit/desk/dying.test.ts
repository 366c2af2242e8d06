import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { onKeptThread } from '../../../electron/kept-threads.ts';
import { restarts, type Restart } from '../../../electron/restarts.ts';

const worker = pathToFileURL(path.join(import.meta.dirname, 'dying-worker.mjs'));
let folder: string;
let marks: string;
let told: Restart[];
const hear = (message: unknown): void => void told.push(message as Restart);
beforeEach(async () => {
  folder = await mkdtemp(path.join(tmpdir(), 'lockstep-dying-'));
  marks = path.join(folder, 'marks');
  told = [];
  restarts.subscribe(hear);
});
afterEach(async () => {
  restarts.unsubscribe(hear);
  await rm(folder, { recursive: true, force: true });
});
const run = (deaths: number, how: string, job = {}): Promise<string> =>
  onKeptThread<string>(worker, { marks, deaths, how }, job);

describe('a thread that dies', () => {
  it.each(['exits', 'throws'])('is started again with the same work, once: it %s', async (how) => {
    const shares: number[] = [];
    expect(await run(1, how, { onProgress: (share: number) => shares.push(share) })).toBe('the answer');
    expect(shares).toEqual([0.4, 0.4]);
    expect(told).toEqual([{ what: 'dying-worker.mjs', error: expect.any(Error) as Error }]);
    await rm(marks);
    await expect(run(2, how)).rejects.toThrow('A thread died twice at its work.');
    expect(await readFile(marks, 'utf8')).toBe('xx');
  });

  it('is not started again once it was stopped', async () => {
    const stop = new AbortController();
    const ended = run(9, 'exits', { signal: stop.signal, onProgress: () => stop.abort() });
    await expect(ended).rejects.toMatchObject({ kind: 'stopped' });
    expect(await readFile(marks, 'utf8')).toBe('x');
    expect(told).toEqual([]);
  });
});
