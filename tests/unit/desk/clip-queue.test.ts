import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { ClipQueue, type ClipWork } from '../../../electron/desk/clip-queue.ts';
import { Failure } from '../../../shared-lib/contract/errors.ts';
import { inOrderOfNeed, isDone, type QueuedClip } from '../../../shared-lib/contract/queue.ts';
import type { ClipRef } from '../../../shared-lib/contract/review.ts';

let root: string;
let file: string;
beforeEach(async () => {
  root = await mkdtemp(path.join(tmpdir(), 'lockstep-queue-'));
  file = path.join(root, 'queue.json');
});
afterEach(() => rm(root, { recursive: true, force: true }));

const clip = (k: number): ClipRef => ({
  sha256: k.toString(16).padStart(64, '0'),
  name: `clip ${k}.mp4`,
  bytes: 1000 + k,
});
const twenty = Array.from({ length: 20 }, (_, k) => clip(k));

async function settled(queue: ClipQueue): Promise<QueuedClip[]> {
  for (;;) {
    const items = await queue.list();
    if (items.every(isDone)) return items;
    await wait(2);
  }
}

const ready = { stage: 'ready', said: 'One rep found, the bar followed.', advice: '' } as const;

describe('clips in a queue', () => {
  it('are all done, one at a time, in order, and broken ones stop nothing', async () => {
    let [now, most] = [0, 0];
    const order: string[] = [];
    const work: ClipWork = async ({ clip: { name } }, job, onStage) => {
      most = Math.max(most, ++now);
      order.push(name);
      await wait(1);
      job.onProgress(0.5);
      onStage('following');
      now--;
      if (name === 'clip 3.mp4') throw new Failure('unusableFile', 'It is cut short.', 'Send it again.');
      if (name === 'clip 7.mp4') throw new Error('ray of nothing');
      return name === 'clip 11.mp4'
        ? {
            stage: 'needs you',
            said: 'One rep found, but this clip cannot carry drift.',
            advice: 'Film it square.',
          }
        : ready;
    };
    const queue = new ClipQueue(file, work);
    await queue.add(twenty, 'squat');
    const items = await settled(queue);
    expect(order).toEqual(twenty.map(({ name }) => name));
    expect(most).toBe(1);
    expect(items.filter(({ stage }) => stage === 'ready')).toHaveLength(17);
    expect(
      inOrderOfNeed(items)
        .slice(0, 4)
        .map(({ clip: { name }, said }) => [name, said]),
    ).toEqual([
      ['clip 3.mp4', 'It is cut short.'],
      ['clip 7.mp4', 'Lockstep failed on this clip: ray of nothing'],
      ['clip 11.mp4', 'One rep found, but this clip cannot carry drift.'],
      ['clip 0.mp4', ready.said],
    ]);
    await queue.close();
  });

  it('go on where they were when the program is opened again', async () => {
    const hung: ClipWork = ({ clip: { name } }, { signal }) =>
      name === 'clip 0.mp4'
        ? Promise.resolve(ready)
        : new Promise((_, reject) => signal.addEventListener('abort', () => reject(new Error('stopped'))));
    const first = new ClipQueue(file, hung);
    await first.add([clip(0), clip(1), clip(2)], 'bench');
    while ((await first.list())[1].stage === 'waiting') await wait(2);
    await first.close();
    const done: string[] = [];
    const again = new ClipQueue(file, ({ clip: { name }, lift }) => {
      done.push(`${name} ${lift}`);
      return Promise.resolve(ready);
    });
    await settled(again);
    expect(done).toEqual(['clip 1.mp4 bench', 'clip 2.mp4 bench']);
    await again.close();
  });

  it('leave the queue when told, also while they are worked on, and the next goes on', async () => {
    const stopped: string[] = [];
    const queue = new ClipQueue(file, ({ clip: { name } }, { signal }) =>
      name === 'clip 0.mp4'
        ? new Promise((_, reject) =>
            signal.addEventListener('abort', () => {
              stopped.push(name);
              reject(new Error('stopped'));
            }),
          )
        : Promise.resolve(ready),
    );
    await queue.add([clip(0), clip(1)], 'squat');
    await queue.remove(clip(0).sha256);
    const items = await settled(queue);
    expect(stopped).toEqual(['clip 0.mp4']);
    expect(items.map(({ clip: { name }, stage }) => [name, stage])).toEqual([['clip 1.mp4', 'ready']]);
    await queue.close();
  });

  it('are done once however often they are dropped in, and again for another lift', async () => {
    let worked = 0;
    const queue = new ClipQueue(file, () => {
      worked++;
      return Promise.resolve(ready);
    });
    await queue.add([clip(0)], 'squat');
    await settled(queue);
    await queue.add([clip(0)], 'squat');
    expect((await settled(queue)).length).toBe(1);
    expect(worked).toBe(1);
    await queue.add([clip(0)], 'deadlift');
    await settled(queue);
    expect(worked).toBe(2);
    await queue.close();
    expect(JSON.parse(await readFile(file, 'utf8'))).toMatchObject({
      schema: 1,
      clips: [{ lift: 'deadlift' }],
    });
  });

  it('start empty where the kept list makes no sense', async () => {
    await writeFile(file, '{ "schema": 1, "clips": "none" }');
    const queue = new ClipQueue(file, () => Promise.resolve(ready));
    expect(await queue.list()).toEqual([]);
    await queue.close();
  });
});
