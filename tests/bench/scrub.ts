import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, readdir, rm, stat } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { quantileSorted, sum } from 'd3-array';
import type { Page } from 'playwright-core';
import { launchBrowser } from '../e2e/browser.ts';
import { startApp } from '../e2e/start-app.ts';

/**
 * Scrubbing in the built program, in a browser, on the demo review: from an input to the next paint after which both panes
 * show the frame that their own words name; from rest to the picture in full; memory of the page; time to start.
 * `--reviews DIR` keeps what was followed for the next run.
 */
const { values } = parseArgs({ options: { reviews: { type: 'string' }, steps: { type: 'string' } } });
const steps = Number(values.steps ?? 120);
const folder = values.reviews ?? (await mkdtemp(path.join(tmpdir(), 'lockstep-scrub-')));

/** Waits, in the page, from an input until both canvases hold what is asked; milliseconds. */
const watch = (what: 'frame' | 'sharp'): string => `new Promise((resolve) => {
  const begun = performance.now();
  const right = () => [...document.querySelectorAll('canvas.pane')].every((canvas) => {
    const named = /frame (\\d+)/.exec(canvas.getAttribute('aria-label'))[1];
    return canvas.dataset.frame === named && (${JSON.stringify(what)} === 'frame' || canvas.dataset.picture === 'sharp');
  });
  const look = () => right() || performance.now() - begun > 5000
    ? resolve(performance.now() - begun)
    : requestAnimationFrame(look);
  INPUT
})`;

async function timed(page: Page, input: string, what: 'frame' | 'sharp' = 'frame'): Promise<number> {
  // React answers a discrete input before the event returns; looking begins at the next frame.
  return page.evaluate<number>(watch(what).replace('INPUT', `${input}; requestAnimationFrame(look);`));
}

const key = (name: string): string =>
  `window.dispatchEvent(new KeyboardEvent('keydown', { key: '${name}', bubbles: true }))`;
const press = (share: number): string => `(() => {
  const strip = document.querySelector('.strip');
  const box = strip.getBoundingClientRect();
  const at = { bubbles: true, buttons: 1, pointerId: 1, clientX: box.left + ${share} * box.width, clientY: box.top + 9 };
  strip.setPointerCapture = () => undefined;
  strip.dispatchEvent(new PointerEvent('pointerdown', at));
})()`;

const row = (name: string, ms: readonly number[]): string => {
  const sorted = [...ms].sort((a, b) => a - b);
  const at = (p: number): string => quantileSorted(sorted, p)!.toFixed(0).padStart(7);
  return `${name.padEnd(34)}${at(0.5)}${at(0.95)}${at(1)}`;
};

/** Waits until no picture has been added for three seconds; seconds it took, and megabytes there are then. */
async function madeAhead(): Promise<{ s: number; megabytes: number }> {
  const begun = performance.now();
  for (let [before, since] = [-1, begun]; ;) {
    const files = (await readdir(temporary, { recursive: true })).filter((name) => name.endsWith('.jpg'));
    const now = performance.now();
    if (files.length !== before) [before, since] = [files.length, now];
    else if (now - since > 3000) {
      const sizes = await Promise.all(
        files.map(async (name) => (await stat(path.join(temporary, name))).size),
      );
      return { s: (since - begun) / 1000, megabytes: sum(sizes) / 1e6 };
    }
    await new Promise((resolve) => setTimeout(resolve, 200));
  }
}

const temporary = await mkdtemp(path.join(tmpdir(), 'lockstep-scrub-pictures-'));
const app = await startApp(folder, [], { TMPDIR: temporary });
const browser = await launchBrowser();
try {
  const page = await (await browser.newContext({ viewport: { width: 1440, height: 900 } })).newPage();
  await page.goto(app.address);
  await page.getByText('Demo: practice').click();
  await page.locator('.line-up').waitFor({ timeout: 400_000 });
  const [first] = [await timed(page, '')];
  // The pictures of the rep are made in the background while the coach reads.
  const early: number[] = [];
  for (const share of [0.3, 0.7]) {
    await timed(page, press(share));
    early.push(await timed(page, '', 'sharp'));
  }
  const ahead = await madeAhead();

  const on: number[] = [];
  for (let i = 0; i < steps; i++) on.push(await timed(page, key(i < steps / 2 ? 'ArrowRight' : 'ArrowLeft')));
  const along: number[] = [];
  for (let i = 0; i < steps; i++) along.push(await timed(page, press(0.1 + (0.8 * i) / steps)));
  const jumps: number[] = [];
  const rest: number[] = [];
  for (let i = 0; i < steps / 4; i++) {
    const share = 0.08 + 0.85 * ((i * 0.618034) % 1);
    jumps.push(await timed(page, press(share)));
    rest.push(await timed(page, '', 'sharp'));
  }
  const session = await page.context().newCDPSession(page);
  const { usedSize } = await session.send('Runtime.getHeapUsage');
  console.log(`first pictures ${first.toFixed(0)} ms after Line up opened`);
  console.log(
    `pictures made ahead ${ahead.s.toFixed(0)} s after that, ${ahead.megabytes.toFixed(0)} MB on disk`,
  );
  console.log(`${'milliseconds'.padEnd(34)}    50 %   95 %  most`);
  console.log(row('step by key', on));
  console.log(row('drag along the strip', along));
  console.log(row('jump anywhere', jumps));
  console.log(row('rest to the picture in full', rest));
  console.log(row('the same before they are made', early));
  console.log(`script memory ${(usedSize / 1e6).toFixed(0)} MB, page ${await pageMegabytes(browser)} MB`);
} finally {
  await browser.close();
  await app.stop();
  await rm(temporary, { recursive: true, force: true });
}

// From the command to a page that can be used, the browser itself already open.
const other = await launchBrowser();
const begun = performance.now();
const entry = fileURLToPath(new URL('../../dist/start.js', import.meta.url));
const child = spawn(process.execPath, [entry, '--no-open', '--browser', '--reviews', folder]);
try {
  const [printed] = (await once(child.stdout, 'data')) as [Buffer];
  const printedMs = performance.now() - begun;
  const page = await other.newPage();
  await page.goto(/http\S+/.exec(printed.toString())![0]);
  await page.getByRole('button', { name: 'New review' }).waitFor();
  console.log(
    `start: address after ${printedMs.toFixed(0)} ms, interactive after ${(performance.now() - begun).toFixed(0)} ms`,
  );
} finally {
  await other.close();
  child.kill('SIGTERM');
  if (!values.reviews) await rm(folder, { recursive: true, force: true });
}

/** Resident memory of the browser's largest page process, pictures included. */
async function pageMegabytes(of: typeof browser): Promise<string> {
  const session = await of.newBrowserCDPSession();
  const { processInfo } = await session.send('SystemInfo.getProcessInfo');
  const ids = processInfo.filter(({ type }) => type === 'renderer').map(({ id }) => id);
  const ps = spawn('ps', ['-o', 'rss=', '-p', ids.join()]);
  let text = '';
  ps.stdout.on('data', (chunk: Buffer) => (text += chunk.toString()));
  await once(ps, 'close');
  return (Math.max(...text.trim().split(/\s+/).map(Number)) / 1000).toFixed(0);
}
