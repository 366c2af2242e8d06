import { mkdtemp, readdir, readFile, rm, stat } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openLog, type Log } from '../../../electron/log/log.ts';
import { reportText } from '../../../electron/log/report.ts';
import { errorShape } from '../../../shared-lib/log/error-shape.ts';
import { Failure } from '../../../shared-lib/contract/errors.ts';

let folder: string;
let log: Log;
beforeEach(async () => {
  folder = await mkdtemp(path.join(tmpdir(), 'lockstep-log-'));
  log = await openLog(path.join(folder, 'log'), import.meta.dirname);
});
afterEach(async () => {
  log.close();
  await rm(folder, { recursive: true, force: true });
});
const written = async (): Promise<string> => {
  const names = await readdir(log.folder);
  return (await Promise.all(names.map((name) => readFile(path.join(log.folder, name), 'utf8')))).join('');
};

/** Text of a person: a name, a note, a path; long enough that it does not come up by chance. */
const personal = fc.oneof(
  fc.string({ unit: 'grapheme', minLength: 6, maxLength: 40 }),
  fc.constantFrom(
    'Rowan Teale',
    'ROWAN_TEALE',
    '/home/rowan/Videos/heavy single.mp4',
    'sore left elbow: 3:12',
  ),
  fc
    .tuple(
      fc.constantFrom('/home/rowan/', 'at rowan (', '    at '),
      fc.stringMatching(/^[a-z]{6,12}\.ts:\d:\d\)?$/),
    )
    .map((two) => two.join('')),
);

describe('the log', () => {
  it('holds of an error nothing that a person wrote, wherever the error carries it', () => {
    const known = { scripts: new Set(['start.js', 'pair-Ca66.js']), codes: new Set(['ENOENT', 'ENOSPC']) };
    const words = new Set(['Error', 'TypeError', 'Failure', 'other', 'ENOENT', 'ENOSPC']);
    fc.assert(
      fc.property(personal, fc.option(fc.constantFrom('Error', 'TypeError', 'Failure')), (text, name) => {
        const error = Object.assign(new Error(`${text}: no such lifter\n    at ${text}:1:2`), {
          ...{ name: name ?? text, code: text, path: text, [text]: text },
          stack: `Error: ${text}\n    at ${text} (file:///${text}/start.js:12:3)\n    at ${text}:4:5\n${text}`,
        });
        const { name: told, code, at } = errorShape(error, known);
        expect(words.has(told)).toBe(true);
        expect(code).toBeNull();
        for (const place of at) expect(place).toMatch(/^(start|pair-Ca66)\.js:\d+:\d+$/);
        expect(at).toContain('start.js:12:3');
      }),
    );
  });

  it('takes no field that it does not know, and no value that a person chose', async () => {
    fc.assert(
      fc.property(personal, (text) => {
        const entry = { event: 'stopped', why: 'asked', name: text, note: { text } } as const;
        log.write(entry);
        expect(() => log.write({ event: text } as never)).toThrow();
        expect(() => log.write({ event: 'stopped', why: text } as never)).toThrow();
        expect(() => log.write({ event: 'failed', command: text, kind: 'usage' } as never)).toThrow();
      }),
      { numRuns: 30 },
    );
    const lines = (await written())
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line) as object);
    for (const line of lines) expect(Object.keys(line).sort()).toEqual(['level', 'msg', 'time', 'why']);
    expect(lines).toHaveLength(30);
  });

  it.each([
    [Object.assign(new Error('no /home/rowan'), { code: 'ENOENT' }), 'ENOENT', 'Error'],
    [new Failure('usage', 'Rowan Teale is not here.', 'Look elsewhere.'), null, 'Failure'],
    ['Rowan Teale', null, 'other'],
    [null, null, 'other'],
  ])('keeps the kind and the code of %o', (error, code, name) => {
    expect(log.shapeOf(error)).toMatchObject({ code, name });
  });

  it('says where in the program it was', () => {
    expect(log.shapeOf(new Error('x')).at[0]).toMatch(/^log\.test\.ts:\d+:\d+$/);
  });

  it('begins a new file when one is full, and keeps the newest four', async () => {
    const error = { name: 'Error', code: null, at: Array<string>(12).fill('start.js:100000:100000') };
    const total = 6 * 256 * 1024;
    const line = JSON.stringify(error).length + 100;
    for (let n = 0; n < total / line; n += 1) {
      log.write({ event: 'fault', where: 'server', error });
      // Rolling waits for nothing, but happens between events.
      if (n % 50 === 0) await new Promise((resolve) => setTimeout(resolve, 1));
    }
    log.write({ event: 'stopped', why: 'idle' });
    await new Promise((resolve) => setTimeout(resolve, 100));
    const names = await readdir(log.folder);
    expect(names.length).toBeGreaterThan(1);
    expect(names.length).toBeLessThanOrEqual(4);
    for (const name of names) expect((await stat(path.join(log.folder, name))).size).toBeLessThan(300 * 1024);
    expect((await log.tail(1))[0]).toContain('"msg":"stopped"');
  });

  it('that cannot be written stops nothing', async () => {
    const nowhere = await openLog(path.join(folder, 'x\0y'), folder);
    nowhere.write({ event: 'stopped', why: 'asked' });
    expect(await nowhere.tail(5)).toEqual([]);
    nowhere.close();
  });
});

describe('a report', () => {
  it('holds versions and the log, and says itself that it was sent nowhere', async () => {
    log.write({ event: 'stopped', why: 'asked' });
    const tools = (): never => {
      throw new Failure('unusableFile', 'ffmpeg was not found.', 'Install it.');
    };
    const text = await reportText('1.2.3', log, tools);
    expect(text).toMatch(/has been sent nowhere\.\nIt holds no name, note, picture or path\./);
    expect(text).toMatch(/\nLockstep: 1\.2\.3\n/);
    expect(text).toMatch(/\nffmpeg: not found\n/);
    expect(text).toMatch(/"msg":"stopped"/);
    expect(text).not.toContain(folder);
  });
});
