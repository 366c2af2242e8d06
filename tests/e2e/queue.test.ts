import { appendFile, copyFile, mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { drawScene } from '../../demo-data/draw-scene.ts';
import { cachedClip } from '../../demo-data/suite/cached-clip.ts';
import { browserPath } from './browser.ts';
import { expectAccessible, openApp, type OpenApp } from './open-app.ts';

const pictures = fileURLToPath(new URL('../../test-output/queue/', import.meta.url));
const count = 3;

describe.skipIf(browserPath === null)('several clips dropped in at once', () => {
  let folder: string;
  let files: string[];
  let open: OpenApp;
  let page: Page;

  beforeAll(async () => {
    folder = await mkdtemp(path.join(tmpdir(), 'lockstep-queue-app-'));
    await mkdir(pictures, { recursive: true });
    const spec = drawScene(202, {
      lift: 'squat',
      facing: 'right',
      plan: { leadS: 0.4, settleS: 0.8, holdS: 0.7, tailS: 0.3 },
      film: { widthPx: 480, heightPx: 270, grey: true },
    });
    const { clip } = await cachedClip('queue', spec, folder);
    // The same film under other hashes: a box that players pass over stands at the end of each.
    files = await Promise.all(
      Array.from({ length: count }, async (_, k) => {
        const file = path.join(folder, `set ${k + 1}.mp4`);
        await copyFile(clip, file);
        await appendFile(file, Buffer.from([0, 0, 0, 9, 0x66, 0x72, 0x65, 0x65, k]));
        return file;
      }),
    );
    const broken = path.join(folder, 'broken.mp4');
    await writeFile(broken, 'this is no film');
    files.splice(1, 0, broken);
    open = await openApp(path.join(folder, 'reviews'));
    page = open.page;
  }, 120_000);
  afterAll(async () => {
    await open.close();
    await rm(folder, { recursive: true, force: true });
  });

  const rows = () => page.locator('.queue-row');

  it('are all there, and the first can be taken while the others are done', async () => {
    await page.getByRole('button', { name: 'New review' }).click();
    await page.getByText('Squat', { exact: true }).click();
    await page.locator('.queue input[type=file]').setInputFiles(files);
    await rows().first().waitFor();
    await page.getByRole('button', { name: 'Take set 1.mp4 as today’s rep' }).click();
    await page.getByText('480 × 270').waitFor();
    await expect.poll(() => rows().count(), { timeout: 20_000 }).toBe(count + 1);
  }, 60_000);

  it('are read, followed and checked without a hand, and the broken one comes up and stops nothing', async () => {
    await page.getByText(`${count + 1} of ${count + 1} done`).waitFor({ timeout: 120_000 });
    const said = await rows().allInnerTexts();
    expect(said[0]).toMatch(/broken\.mp4\s+Needs you\s+broken\.mp4 is not a video/);
    for (const words of said.slice(1)) expect(words).toMatch(/Ready[\s\S]*One rep found, the bar followed/);
    expect(said.join(' ')).toContain('taken as today’s rep');
    expect(said.join(' ')).not.toContain(folder);
    await page.locator('.queue').scrollIntoViewIfNeeded();
    await page.screenshot({ path: path.join(pictures, 'queue.png') });
    await expectAccessible(page);
  }, 150_000);

  it('are put away one by one', async () => {
    await page.getByRole('button', { name: 'Put broken.mp4 away' }).click();
    await expect.poll(() => rows().count()).toBe(count);
  });
});
