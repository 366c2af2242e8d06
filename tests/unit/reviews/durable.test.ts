import { spawnSync } from 'node:child_process';
import { mkdtemp, readdir, readFile, rename, rm, utimes, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { Readable } from 'node:stream';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { ClipShelf } from '../../../electron/reviews/clip-shelf.ts';
import { revisionsToDrop } from '../../../electron/reviews/history.ts';
import { deleteLeftovers } from '../../../electron/reviews/leftovers.ts';
import { drawsOf } from '../../fuzz/mutate.ts';
import { killWhileSaving } from './killed.ts';
import { documentsOf, savedKinds, type Documents } from './saved-kinds.ts';

const untouched = { revision: 1, text: 'untouched' };
const saver = path.join(import.meta.dirname, 'saver.ts');
/** Whether a program here may have a disk of its own, as root may in most places. */
const canMount =
  process.platform === 'linux' &&
  spawnSync('unshare', ['-m', 'sh', '-c', 'mount -t tmpfs none /mnt']).status === 0;

let root: string;
beforeEach(async () => {
  root = await mkdtemp(path.join(tmpdir(), 'lockstep-durable-'));
});
afterEach(() => rm(root, { recursive: true, force: true }));

describe.each(savedKinds)('a %s', (kind) => {
  let documents: Documents;
  let id: string;
  let other: string;
  const beside = (...name: string[]): string => path.join(path.dirname(documents.file(id)), ...name);
  const damagedName = `${kind}-damaged.json`;
  const save = async (text: string): Promise<number | null> => (await documents.open(id)).keep(text);

  beforeEach(async () => {
    documents = documentsOf(root, kind);
    id = await documents.start();
    other = await documents.start();
    await (await documents.open(other)).keep('untouched');
  });
  // Whatever happened to one, the other is as it was.
  afterEach(async () => expect(await documents.open(other)).toMatchObject(untouched));

  it('is whole whenever the program is killed, and no save that was kept is lost', async () => {
    let saves = 0;
    // `npm run bench:killed-saves` kills it a thousand times.
    for (let kill = 0; kill < 3; kill += 1) {
      const killed = await killWhileSaving(root, kind, id, drawsOf(kill));
      expect(killed).toMatchObject({ lost: 0, unreadable: 0 });
      saves += killed.saves;
    }
    expect(saves).toBeGreaterThanOrEqual(3);
  });

  it('that was killed between two steps of a save is the newer one', async () => {
    await save('first');
    const old = await readFile(documents.file(id), 'utf8');
    await save('second');
    await writeFile(documents.file(id), old);
    expect((await documents.open(id)).text).toBe('second');
  });

  it.each([
    ['cut short', (text: string) => text.slice(0, 40)],
    ['emptied', () => ''],
    ['full of zeros', (text: string) => '\0'.repeat(text.length)],
    ['another thing', () => '{"schema":1,"id":7}'],
  ])('whose file was %s is mended from its last save, the damage kept beside it', async (_, damage) => {
    await save('last');
    const whole = await readFile(documents.file(id), 'utf8');
    await writeFile(documents.file(id), damage(whole));
    expect((await documents.open(id)).text).toBe('last');
    expect(await readFile(beside(damagedName), 'utf8')).toBe(damage(whole));
    expect(await documents.trouble(id)).toBeNull();
    expect(await save('after')).toBe(2);
    expect(await readFile(documents.file(id), 'utf8')).toContain('"after"');
  });

  it('whose file and last save are both damaged is the save before', async () => {
    await save('one');
    await save('two');
    await writeFile(documents.file(id), 'x');
    await writeFile(beside('history', '2.json'), 'x');
    expect((await documents.open(id)).text).toBe('one');
  });

  it('that is damaged with its whole history is set aside with a sentence, and left as it is', async () => {
    await writeFile(documents.file(id), 'x');
    await writeFile(beside('history', '0.json'), 'x');
    const what = `The ${kind} ${id} cannot be read: its file was damaged.`;
    await expect(documents.open(id)).rejects.toMatchObject({ kind: 'unusableFile', what });
    expect(await documents.trouble(id)).toBe(what);
    expect(await readFile(documents.file(id), 'utf8')).toBe('x');
  });

  it('that a newer Lockstep wrote is neither mended nor overwritten', async () => {
    const text = JSON.stringify({ id, schema: 99 });
    await writeFile(documents.file(id), text);
    await expect(documents.open(id)).rejects.toThrow('a newer Lockstep wrote it');
    await expect(save('over it')).rejects.toThrow('a newer Lockstep wrote it');
    expect(await readFile(documents.file(id), 'utf8')).toBe(text);
  });

  it('can be taken back to any save, and forth again', async () => {
    await save('one');
    await save('two');
    expect(await documents.history(id)).toEqual([2, 1, 0]);
    expect(await documents.takeBack(id, 1)).toMatchObject({ text: 'one', revision: 3 });
    expect(await documents.takeBack(id, 2)).toMatchObject({ text: 'two', revision: 4 });
    await expect(documents.takeBack(id, 77)).rejects.toThrow('is not kept any more');
  });

  it('opened by two programs is overwritten by neither', async () => {
    const [mine, theirs] = await Promise.all([documents.open(id), documentsOf(root, kind).open(id)]);
    const kept = await Promise.all([mine.keep('mine'), theirs.keep('theirs')]);
    expect(kept).toEqual(expect.arrayContaining([1, null]));
    expect((await documents.open(id)).text).toBe(kept[0] === 1 ? 'mine' : 'theirs');
  });

  it('whose folder was taken away is not made anew, and saved once the folder is back', async () => {
    const folder = path.dirname(beside());
    const opened = await documents.open(id);
    await rename(folder, `${folder}-away`);
    await expect(opened.keep('away')).rejects.toMatchObject({
      what: expect.stringMatching(/the folder is not there any more\.$/) as string,
    });
    expect(await readdir(path.dirname(folder))).not.toContain(path.basename(folder));
    await rename(`${folder}-away`, folder);
    expect(await opened.keep('back')).toBe(1);
  });

  describe.runIf(canMount)('on a disk', () => {
    /** Saves in a program that has a small disk where the folder is; what it said and what was on the disk after it. */
    const saveOn = (options: string, before: string): { stderr: string; status: number | null } => {
      const script = `set -e; cp -a "$1" "$1.copy"; mount -t tmpfs -o size=1m none "$1"; cp -a "$1.copy/." "$1"
        ${before}; mount -o "remount,${options}" "$1"; shift
        "$@" || status=$?; rm -f "$ROOT/filled"; cp -a "$ROOT/." "$ROOT.after"; exit "\${status:-0}"`;
      const saving = [process.execPath, '--import', 'tsx', saver, root, kind, id, '1'];
      return spawnSync('unshare', ['-m', 'sh', '-c', script, 'disk', root, ...saving], {
        encoding: 'utf8',
        env: { ...process.env, ROOT: root, TSX_DISABLE_CACHE: '1' },
      });
    };
    afterEach(() =>
      Promise.all(['.copy', '.after'].map((end) => rm(`${root}${end}`, { recursive: true, force: true }))),
    );

    it.each([
      ['that is full', 'size=1m', 'cat /dev/zero > "$1/filled" 2>/dev/null || true', 'the disk is full'],
      ['that may only be read', 'ro', 'true', 'the disk may only be read'],
    ])('%s is said to be, in a sentence, and stays as it was', async (_, options, before, why) => {
      await save('kept');
      const { stderr, status } = saveOn(options, before);
      expect(status).not.toBe(0);
      expect(stderr).toMatch(new RegExp(`The ${kind} cannot be kept in .*: ${why}\\.`));
      const after = documentsOf(`${root}.after`, kind);
      expect(await after.open(id)).toMatchObject({ revision: 1, text: 'kept' });
      expect(await after.open(other)).toMatchObject(untouched);
      expect(await after.history(id)).toEqual([1, 0]);
      expect(
        (await readdir(`${root}.after`, { recursive: true })).filter((name) => name.endsWith('.partial')),
      ).toEqual([]);
    });
  });
});

describe('the history', () => {
  it('keeps the newest forty and every twentieth before', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 400 }), (last) => {
        const all = Array.from({ length: last + 1 }, (_, i) => i);
        const dropped = new Set(revisionsToDrop(all));
        const kept = all.filter((each) => !dropped.has(each));
        expect(kept.slice(-40)).toEqual(all.slice(-40));
        expect(kept.length).toBeLessThanOrEqual(40 + Math.ceil(all.length / 20));
      }),
    );
  });
});

describe('what was half-written when the program was killed', () => {
  it('is deleted a day later, and nothing else is', async () => {
    const names = ['a.partial', 'clips.json.123456', 'clips.json', 'clip.mp4', 'young.partial'];
    for (const name of names) await writeFile(path.join(root, name), '');
    const now = new Date(Date.now() + 25 * 3_600_000);
    await utimes(path.join(root, 'young.partial'), now, now);
    await deleteLeftovers([root, path.join(root, 'missing')], now);
    expect((await readdir(root)).sort()).toEqual(['clip.mp4', 'clips.json', 'young.partial']);
  });
});

describe('the shelf of clips', () => {
  it('that cannot be written says so in a sentence', async () => {
    await writeFile(path.join(root, 'clips'), 'a file where its folder was');
    await expect(
      new ClipShelf(root).addStream('sent.mp4', Readable.from([Buffer.from('sent')])),
    ).rejects.toMatchObject({
      kind: 'unusableFile',
      what: expect.stringMatching(/^The clip cannot be kept/) as string,
    });
  });

  it('whose list is damaged keeps the list and finds the clips that it holds itself', async () => {
    const shelf = new ClipShelf(root);
    const clip = path.join(root, 'a clip.mp4');
    await writeFile(clip, 'a clip');
    const { sha256 } = await shelf.addStream('sent.mp4', Readable.from([Buffer.from('sent')]));
    await writeFile(path.join(root, 'clips.json'), '{"schema":1,"cl');
    expect((await shelf.find(sha256)).path).toBe(path.join(root, 'clips', `${sha256}.mp4`));
    await shelf.addFile(clip);
    expect((await shelf.find(sha256)).ref.bytes).toBe(4);
    expect(await readFile(path.join(root, 'clips-damaged.json'), 'utf8')).toBe('{"schema":1,"cl');
  });
});
