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
import { onKeptThread } from '../../electron/kept-threads.ts';

/** The built program's thread that follows bars. */
const root = fileURLToPath(new URL('../../', import.meta.url));
const worker = new URL('../../dist/tracing-worker.js', import.meta.url);
const tools = findTools();
let folder: string;
let clip: string;
let another: string;
beforeAll(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'lockstep-thread-'));
  clip = smaller('bench-practice', 640);
  another = smaller('bench-heavy', 800);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function smaller(name: string, widthPx: number): string {
  const [from, to] = [path.join(root, 'demo-data', `${name}.mp4`), path.join(folder, `${name}.mp4`)];
  const of = ['-i', from, '-vf', `scale=${widthPx}:-2`, '-an', '-t', '4.5'];
  execFileSync(tools.ffmpeg, ['-v', 'error', '-nostdin', ...of, to]);
  return to;
}

const followed = async (
  file: string,
  keptMs: number,
  onProgress?: (share: number) => void,
): Promise<TrackedClip> => {
  const media = await probeClip(file, tools);
  const request = { file, ffmpeg: tools.ffmpeg, media, seed: null };
  return onKeptThread<TrackedClip>(worker, request, { onProgress }, { keptMs, stopping: 'when asked' });
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
    const undisturbed = await followed(clip, 0);
    let restarted = 0;
    const hear = (): void => void restarted++;
    restarts.subscribe(hear);
    let killed = 0;
    const disturbed = await followed(clip, 0, (share) => {
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

describe('a thread that has followed another clip', () => {
  it('follows as a new one does', async () => {
    const byNew = await followed(clip, 0);
    await followed(another, 60_000);
    expect(await followed(clip, 0)).toEqual(byNew);
  }, 120_000);
});
