import { appendFile, copyFile, mkdir, mkdtemp, readFile, readdir, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { parseArgs } from 'node:util';
import { drawScene } from '../../demo-data/draw-scene.ts';
import { cachedClip } from '../../demo-data/suite/cached-clip.ts';
import { inOrderOfNeed, isDone, type QueuedClip } from '../../shared-lib/contract/queue.ts';
import type { ClipRef } from '../../shared-lib/contract/review.ts';
import { startApp } from '../e2e/start-app.ts';

/**
 * Brings full-size clips and a broken one in at once, as a browser does, and prints when the first can be worked on, what
 * became of each, and how much memory the program took meanwhile (Linux). Clips come from --from, copied under hashes of
 * their own until there are --clips, or are rendered.
 */
const { values } = parseArgs({
  options: {
    clips: { type: 'string', default: '20' },
    from: { type: 'string' },
    lift: { type: 'string', default: 'squat' },
    minutes: { type: 'string', default: 'Infinity' },
  },
});
const print = (text: string): void => void process.stdout.write(`${text}\n`);
const folder = await mkdtemp(path.join(tmpdir(), 'lockstep-queue-bench-'));

async function sources(): Promise<string[]> {
  if (values.from) {
    const names = (await readdir(values.from)).filter((name) => /\.(mp4|mkv|mov)$/.test(name));
    return names.map((name) => path.join(values.from!, name));
  }
  const film = { widthPx: 1920, heightPx: 1080, grey: true };
  const spec = drawScene(61, { lift: 'squat', film });
  return [(await cachedClip('queue-full-size', spec, path.join(tmpdir(), 'lockstep-accuracy'))).clip];
}

/** The same films under other hashes: a box that players pass over stands at the end of each. */
async function clipFiles(): Promise<string[]> {
  const from = await sources();
  await mkdir(path.join(folder, 'clips'));
  const files: string[] = [];
  for (let k = 0; k < Number(values.clips); k++) {
    const file = path.join(folder, 'clips', `set ${k + 1}.mp4`);
    await copyFile(from[k % from.length], file);
    await appendFile(file, Buffer.from([0, 0, 0, 9, 0x66, 0x72, 0x65, 0x65, k]));
    files.push(file);
  }
  const broken = path.join(folder, 'clips', 'broken.mp4');
  await writeFile(broken, 'this is no film');
  files.splice(1, 0, broken);
  return files;
}

/** Resident memory of a process, MB; its workers are threads of it, decoders are processes of their own. */
async function residentMb(pid: number): Promise<number> {
  const status = await readFile(`/proc/${pid}/status`, 'utf8').catch(() => '');
  return Number(/VmRSS:\s+(\d+)/.exec(status)?.[1] ?? NaN) / 1024;
}

const files = await clipFiles();
const app = await startApp(path.join(folder, 'reviews'));
try {
  const { origin } = new URL(app.address);
  const entered = await fetch(app.address);
  const cookie = entered.headers.get('set-cookie')!.split(';')[0];
  let calls = 0;
  const call = async <T>(command: string, input: unknown): Promise<T> => {
    const body = JSON.stringify({ command, job: `bench-${++calls}`, input });
    const headers = { cookie, 'content-type': 'application/json' };
    const answer = (await (await fetch(`${origin}/call`, { method: 'POST', headers, body })).json()) as {
      output: T;
    };
    return answer.output;
  };
  const began = Date.now();
  const since = (): string => `${((Date.now() - began) / 1000).toFixed(1)} s`;
  let first: ClipRef | null = null;
  const bringIn = async (): Promise<void> => {
    for (const file of files) {
      const headers = { cookie, 'content-type': 'application/octet-stream' };
      const address = `${origin}/clips?name=${encodeURIComponent(path.basename(file))}`;
      const sent = await fetch(address, { method: 'POST', headers, body: await readFile(file) });
      const clip = (await sent.json()) as ClipRef;
      await call('queueClips', { clips: [clip], lift: values.lift });
      if (first) continue;
      first = clip;
      print(`the first clip is here after ${since()}`);
      await call('lookAtClip', { sha256: clip.sha256 });
      print(`it is read after ${since()}`);
      await (await fetch(`${origin}/still/${clip.sha256}/0`, { headers: { cookie } })).arrayBuffer();
      print(`the first clip can be worked on after ${since()}`);
    }
    print(`all ${files.length} are brought in after ${since()}`);
  };
  const coming = bringIn();
  const memory: number[] = [];
  let done = -1;
  let items: QueuedClip[] = [];
  const untilMs = began + 60_000 * Number(values.minutes);
  for (;;) {
    items = await call<QueuedClip[]>('queue', {});
    memory.push(await residentMb(app.pid));
    const now = items.filter(isDone).length;
    if (now > done) print(`${since()}: ${now} of ${items.length} done, ${memory.at(-1)!.toFixed(0)} MB`);
    done = now;
    if ((items.length === files.length && done === items.length) || Date.now() > untilMs) break;
    await wait(500);
  }
  await coming;
  print(`most memory ${Math.max(...memory).toFixed(0)} MB, at the end ${memory.at(-1)!.toFixed(0)} MB`);
  for (const { clip, stage, said } of inOrderOfNeed(items)) print(`${clip.name}: ${stage}. ${said}`);
} finally {
  await app.stop();
  await rm(folder, { recursive: true, force: true });
}
