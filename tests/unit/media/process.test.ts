import { spawn } from 'node:child_process';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { once } from 'node:events';
import path from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { Worker } from 'node:worker_threads';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decodeFrames } from '../../../electron/media/decode.ts';
import { lineSplitter } from '../../../electron/media/lines.ts';
import { ChildError, runChild, startChild } from '../../../electron/media/process.ts';
import { Failure } from '../../../shared-lib/contract/errors.ts';
import * as fixture from './fixtures.ts';

const folder = fixture.temporaryFolder();
const at = (name: string): string => path.join(folder, name);
const { ffmpeg } = fixture.tools;
const parentFile = path.join(import.meta.dirname, 'parent.ts');
const onPosix = process.platform !== 'win32';

/** An encoder that would run for an hour, writing a file: a closed pipe does not stop it. */
const endless = (file: string): string[] => [
  ...['-v', 'error', '-nostdin', '-y', '-re', '-f', 'lavfi', '-i', 'color=s=64x64:r=25:d=3600'],
  ...['-c:v', 'mjpeg', '-f', 'avi', file],
];

/** A clip of 640 x 360 that is made quickly. */
function testClip(file: string, frames: number): void {
  const source = ['-f', 'lavfi', '-i', 'testsrc2=s=640x360:r=60', '-frames:v', String(frames)];
  fixture.runFfmpeg(...source, '-c:v', 'mjpeg', '-q:v', '8', file);
}

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    // A killed child that nobody has waited for is still listed on Linux, as a zombie.
    const stat = `/proc/${pid}/stat`;
    return !existsSync(stat) || !/\) Z /.test(readFileSync(stat, 'utf8'));
  } catch {
    return false;
  }
}

async function expectGone(pid: number): Promise<void> {
  for (let tries = 0; tries < 200 && isAlive(pid); tries++) await wait(50);
  expect(isAlive(pid)).toBe(false);
}

/** Waits for a file that a child writes, and gives the number in it. */
async function numberIn(file: string): Promise<number> {
  for (let tries = 0; tries < 400; tries++) {
    const number = existsSync(file) ? Number.parseInt(readFileSync(file, 'utf8'), 10) : NaN;
    if (number > 0) return number;
    await wait(50);
  }
  throw new Error(`Nothing came in ${file}`);
}

/** An ffmpeg that leaves its process id in a file. */
function tellingFfmpeg(pidFile: string): string {
  const script = `${pidFile}.sh`;
  writeFileSync(script, `#!/bin/sh\necho $$ > '${pidFile}'\nexec '${ffmpeg}' "$@"\n`, { mode: 0o755 });
  return script;
}

describe('running a program', () => {
  it('gives what it writes', async () => {
    const { stdout } = await runChild(ffmpeg, ['-hide_banner', '-version']);
    expect(stdout).toMatch(/^ffmpeg version /);
  });

  it('fails with the arguments, the status and the last lines', async () => {
    const args = ['-hide_banner', '-i', 'file:/no/such/clip.mp4'];
    const error = await runChild(ffmpeg, args).catch((e: unknown) => e);
    expect(error).toBeInstanceOf(ChildError);
    expect(error).toMatchObject({ program: ffmpeg, args, killSignal: null });
    expect((error as ChildError).exitCode).toBeGreaterThan(0);
    expect((error as ChildError).lastLines.at(-1)).toMatch(/clip\.mp4: No such file or directory/);
  });

  it('fails in the same way when there is no such program', async () => {
    const error = await runChild('no-such-program', []).catch((e: unknown) => e);
    expect(error).toBeInstanceOf(ChildError);
    expect(error).toMatchObject({ exitCode: null, killSignal: null, cause: { code: 'ENOENT' } });
  });

  it('tells lines as they come, on both outputs', async () => {
    const lines: string[] = [];
    await runChild('node', ['-e', 'console.log("a\\nb"); console.error("c")'], {
      onLine: (line) => lines.push(line),
      onErrorLine: (line) => lines.push(line),
    });
    expect(lines.sort()).toEqual(['a', 'b', 'c']);
  });
});

describe('stopping', () => {
  it('a signal raised before the start starts nothing', async () => {
    const signal = AbortSignal.abort();
    // Were it started, a program that does not exist would fail in another way.
    await expect(runChild('no-such-program', [], { signal })).rejects.toMatchObject({ kind: 'stopped' });
    const options = { ffmpeg: 'no-such-program', width: 8, height: 8, bitDepth: 8, signal };
    await expect(decodeFrames('x.mp4', options).next()).rejects.toMatchObject({ kind: 'stopped' });
  });

  it('a signal ends the child and says so', async () => {
    const stop = new AbortController();
    const child = startChild(ffmpeg, endless(at('stopped.avi')), { signal: stop.signal });
    await wait(100);
    expect(isAlive(child.pid!)).toBe(true);
    stop.abort();
    await expect(child.ended).rejects.toBeInstanceOf(Failure);
    await expect(child.ended).rejects.toMatchObject({ kind: 'stopped' });
    await expectGone(child.pid!);
  });

  it.runIf(onPosix)('a stopped decode and one that its reader leaves end ffmpeg', async () => {
    testClip(at('long.mp4'), 200);
    const stop = new AbortController();
    const decode = (name: string): ReturnType<typeof decodeFrames> =>
      decodeFrames(at('long.mp4'), {
        ...{ ffmpeg: tellingFfmpeg(at(name)), width: 640, height: 360, bitDepth: 8 },
        signal: stop.signal,
      });

    for await (const { frame } of decode('left')) if (frame === 2) break;
    await expectGone(await numberIn(at('left')));

    const reading = (async () => {
      for await (const { frame } of decode('stopped')) if (frame === 2) stop.abort();
    })();
    await expect(reading).rejects.toMatchObject({ kind: 'stopped' });
    await expectGone(await numberIn(at('stopped')));
  });

  it.runIf(onPosix)('a child ends when its parent is killed', async () => {
    const parent = spawn(
      process.execPath,
      ['--import', 'tsx', parentFile, ffmpeg, at('pid'), ...endless(at('orphan.avi'))],
      { stdio: 'ignore' },
    );
    const pid = await numberIn(at('pid'));
    expect(isAlive(pid)).toBe(true);
    parent.kill('SIGKILL');
    await once(parent, 'exit');
    await expectGone(pid);
  });

  it.runIf(onPosix)('a child ends when its worker thread is ended', async () => {
    const argv = [ffmpeg, at('worker-pid'), ...endless(at('worker.avi'))];
    const code = `import('tsx/esm/api').then((tsx) => (tsx.register(), import(${JSON.stringify(parentFile)})))`;
    const worker = new Worker(code, { eval: true, argv });
    const pid = await numberIn(at('worker-pid'));
    expect(isAlive(pid)).toBe(true);
    await worker.terminate();
    await expectGone(pid);
  });
});

describe('memory while decoding', () => {
  it('pictures share four buffers, each valid for three more', async () => {
    fixture.paintClip(at('ring.mp4'), { frames: 24 });
    const buffers = new Set<Uint8Array>();
    const held: { frame: number; data: Uint8Array }[] = [];
    const options = { ffmpeg, width: 96, height: 64, bitDepth: 8 };
    for await (const { frame, image } of decodeFrames(at('ring.mp4'), options)) {
      buffers.add(image.data);
      held.push({ frame, data: image.data });
      for (const old of held.slice(-4)) {
        const level = fixture.paintedLevel({ width: 96, height: 64, data: old.data });
        expect(Math.abs(level - fixture.levelOf(old.frame))).toBeLessThan(3);
      }
    }
    expect(held).toHaveLength(24);
    expect(buffers.size).toBe(4);
  });

  it('a reader that rests holds ffmpeg back', async () => {
    testClip(at('big.mp4'), 120);
    const pictures = decodeFrames(at('big.mp4'), { ffmpeg, width: 640, height: 360, bitDepth: 8 });
    await pictures.next();
    const before = process.memoryUsage().arrayBuffers;
    await wait(500);
    // 119 more pictures would be 27 MB.
    expect(process.memoryUsage().arrayBuffers - before).toBeLessThan(3e6);
    let rest = 0;
    for await (const { image } of pictures) rest += image.data.length / (640 * 360);
    expect(rest).toBe(119);
  });
});

describe('cutting text into lines', () => {
  it('does not depend on where the pieces end', () => {
    const text = fc.stringMatching(/^[ab\r\n]{0,40}$/);
    fc.assert(
      fc.property(text, fc.array(fc.nat(40), { maxLength: 8 }), (whole, cuts) => {
        const lines: string[] = [];
        const split = lineSplitter((line) => lines.push(line));
        const ends = [...new Set([0, ...cuts.sort((a, b) => a - b), whole.length])].filter(
          (c) => c <= whole.length,
        );
        ends
          .sort((a, b) => a - b)
          .forEach((end, i) => split.push(whole.slice(i === 0 ? 0 : ends[i - 1], end)));
        split.end();
        expect(lines).toEqual(whole.split(/[\r\n]/).filter((line) => line !== ''));
      }),
    );
  });
});
