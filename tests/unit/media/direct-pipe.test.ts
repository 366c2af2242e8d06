import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { expect, it } from 'vitest';
import { openDirectPipe } from '../../../electron/media/direct-pipe.ts';
import { PictureIntake } from '../../../electron/media/picture-intake.ts';
import { ChildError, startChild } from '../../../electron/media/process.ts';
import { temporaryFolder } from './fixtures.ts';

const [width, height, pictures] = [640, 360, 24];
/** A stream of pictures whose bytes tell which picture and where, line ends among them: more in all than any pipe holds. */
const file = path.join(temporaryFolder(), 'pictures');
const size = width * height;
const picturesFrom = Array.from({ length: pictures + 1 }, (_, picture) => [
  Buffer.from('FRAME\n'),
  // The last one is cut short.
  Uint8Array.from(
    { length: picture < pictures ? size : 1000 },
    (_, k) => (picture * size + k) * 31 + picture * 7,
  ),
]);
writeFileSync(
  file,
  Buffer.concat([Buffer.from('YUV4MPEG2 W640 H360 F30:1 Cmono\n'), ...picturesFrom.flat()]),
);
const expected = (picture: number, at: number): number =>
  ((picture * width * height + at) * 31 + picture * 7) & 255;

const ringOf = (count: number, shared: boolean): Uint8Array[] =>
  Array.from({ length: count }, () =>
    shared ? new Uint8Array(new SharedArrayBuffer(width * height)) : new Uint8Array(width * height),
  );

it('puts pictures straight into the ring, whole and in turn, at the pace of whoever looks at them', async () => {
  const ring = ringOf(4, true);
  const intake = new PictureIntake(width, height, ring);
  const pipe = await openDirectPipe(intake.room, intake.came);
  expect(pipe).not.toBeNull();
  const child = startChild('cat', [file], { stdout: pipe!, quietMs: 1000 });
  let seen = 0;
  for await (const { data } of intake.pictures(pipe!.reader)) {
    expect(data).toBe(ring[seen % 4]);
    for (let at = 0; at < data.length; at += 997) expect(data[at]).toBe(expected(seen, at));
    expect([data[0], data[data.length - 1]]).toEqual([expected(seen, 0), expected(seen, data.length - 1)]);
    // A reader that rests for longer than a writer may be quiet is no fault of the writer's.
    if (++seen === 5) await setTimeout(2500);
    // Nothing may come into a picture while it is looked at.
    expect(data[0]).toBe(expected(seen - 1, 0));
  }
  // What is left of a picture at the end is none.
  expect(seen).toBe(pictures);
  await child.ended;
});

it('cuts the same pictures from a stream, where the system has no such pipe', async () => {
  const intake = new PictureIntake(width, height, ringOf(4, false));
  const child = startChild('cat', [file]);
  let seen = 0;
  for await (const { data } of intake.cut(child.stdout)) {
    for (let at = 0; at < data.length; at += 997) expect(data[at]).toBe(expected(seen, at));
    seen++;
  }
  expect(seen).toBe(pictures);
  await child.ended;
});

it('ends a child that writes nothing while its reader waits', async () => {
  const intake = new PictureIntake(width, height, ringOf(4, false));
  const pipe = await openDirectPipe(intake.room, intake.came);
  const child = startChild('sleep', ['60'], { stdout: pipe!, quietMs: 200 });
  for await (const picture of intake.pictures(pipe!.reader)) expect(picture).toBeNull();
  await expect(child.ended).rejects.toBeInstanceOf(ChildError);
});
