import { execFileSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { findTools } from '../../electron/media/find-ffmpeg.ts';
import { probeClip } from '../../electron/media/probe.ts';
import type { TrackedClip } from '../../electron/tracing/track-clip.ts';
import { restarts } from '../../electron/restarts.ts';
import { onThread } from '../../electron/threads.ts';

/** ffmpeg ended from outside while the built program's thread follows a bar, as a system short of memory does. */
const root = fileURLToPath(new URL('../../', import.meta.url));
const worker = new URL('../../dist/tracing-worker.js', import.meta.url);
const tools = findTools();
let folder: string;
let clip: string;
beforeAll(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'lockstep-killed-'));
  clip = path.join(folder, 'clip.mp4');
  const smaller = [
    '-i',
    path.join(root, 'demo-data', 'bench-practice.mp4'),
    '-vf',
    'scale=640:-2',
    '-an',
    '-t',
    '4.5',
  ];
  execFileSync(tools.ffmpeg, ['-v', 'error', '-nostdin', ...smaller, clip]);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const followed = async (onProgress?: (share: number) => void): Promise<TrackedClip> => {
  const media = await probeClip(clip, tools);
  const request = { file: clip, ffmpeg: tools.ffmpeg, media, seed: null };
  return onThread<TrackedClip>(worker, request, { onProgress }, 'when asked');
};

/** Process ids of ffmpeg that this process has started. */
const children = (): number[] =>
  readdirSync('/proc')
    .filter((name) => /^\d+$/.test(name))
    .filter((pid) => {
      try {
        const [, parent] = /\) \S (\d+)/.exec(readFileSync(`/proc/${pid}/stat`, 'utf8'))!;
        return Number(parent) === process.pid && readFileSync(`/proc/${pid}/cmdline`, 'utf8').includes(clip);
      } catch {
        return false;
      }
    })
    .map(Number);

describe.runIf(process.platform === 'linux')('ffmpeg killed while a bar is followed', () => {
  it('is started again, and what comes out is the same as ever', async () => {
    const undisturbed = await followed();
    let restarted = 0;
    const hear = (): void => void restarted++;
    restarts.subscribe(hear);
    let killed = 0;
    const disturbed = await followed((share) => {
      // Once, in the middle of the forward decode.
      if (share < 0.3 || killed > 0) return;
      for (const pid of children()) {
        process.kill(pid, 'SIGKILL');
        killed += 1;
      }
    });
    restarts.unsubscribe(hear);
    expect(killed).toBe(1);
    expect(restarted).toBe(1);
    expect(disturbed).toEqual(undisturbed);
  }, 120_000);
});
