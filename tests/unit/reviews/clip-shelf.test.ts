import { mkdtemp, rm, utimes, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { ClipShelf } from '../../../electron/reviews/clip-shelf.ts';

let folder: string;
let file: string;
beforeEach(async () => {
  folder = await mkdtemp(path.join(tmpdir(), 'lockstep-shelf-'));
  file = path.join(folder, 'squat.mp4');
  await writeFile(file, 'first content');
});
afterEach(() => rm(folder, { recursive: true, force: true }));

describe('where clips are', () => {
  it('knows a clip again by its content, whatever its time says', async () => {
    const { sha256 } = await new ClipShelf(folder).addFile(file);
    await utimes(file, new Date('2026-01-01'), new Date('2026-01-01'));
    expect((await new ClipShelf(folder).find(sha256)).path).toBe(file);
  });

  it('takes no other file of the same size for it', async () => {
    const { sha256 } = await new ClipShelf(folder).addFile(file);
    await writeFile(file, 'other content');
    await utimes(file, new Date('2026-01-01'), new Date('2026-01-01'));
    await expect(new ClipShelf(folder).find(sha256)).rejects.toThrow(/squat\.mp4 is no longer at/);
  });
});
