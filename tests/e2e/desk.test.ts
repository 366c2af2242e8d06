import { mkdtemp, readdir, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { browserPath } from './browser.ts';
import { expectAccessible, openApp, type OpenApp } from './open-app.ts';
import { startApp } from './start-app.ts';

const demo = (name: string): string => fileURLToPath(new URL(`../../demo-data/${name}`, import.meta.url));

describe.skipIf(browserPath === null)('reviews that are kept', () => {
  let folder: string;
  let open: OpenApp;
  let page: Page;

  beforeAll(async () => {
    folder = await mkdtemp(path.join(tmpdir(), 'lockstep-desk-'));
    open = await openApp(folder);
    page = open.page;
  });
  afterAll(async () => {
    await open.close().catch(() => undefined);
    await rm(folder, { recursive: true, force: true });
  });

  const row = (name: string) => page.locator('.review-row', { hasText: name });
  const more = async (name: string, what: string): Promise<void> => {
    await page.getByRole('button', { name: `More for ${name}` }).click();
    await page.getByRole('menuitem', { name: what }).click();
  };

  it('are renamed and removed from the list, each taken back by a key or a press', async () => {
    await row('Demo: six weeks on').waitFor();
    await more('Demo: six weeks on', 'Rename');
    await page.getByLabel('New name of Demo: six weeks on').fill('Paused singles');
    await page.keyboard.press('Enter');
    await row('Paused singles').waitFor();
    await page.keyboard.press('Control+z');
    await row('Demo: six weeks on').waitFor();
    await more('Demo: six weeks on', 'Remove');
    await expect.poll(() => row('Demo: six weeks on').count()).toBe(0);
    for (const colorScheme of ['light', 'dark'] as const) {
      await page.emulateMedia({ colorScheme });
      await expectAccessible(page);
    }
    await page.getByRole('button', { name: 'Take back' }).click();
    await row('Demo: six weeks on').waitFor();
  }, 60_000);

  it('ask for a clip whose file is gone, and take it by its content alone', async () => {
    await page.getByRole('button', { name: 'New review' }).click();
    await page.locator('input[type=file]').nth(1).setInputFiles(demo('bench-week-0.mp4'));
    await page.getByText('bench-week-0.mp4').first().waitFor();
    await page.locator('.clip-picture').waitFor();
    await page.getByText('Kept', { exact: true }).waitFor();
    const [copy] = (await readdir(path.join(folder, 'clips'))).filter((name) => name.endsWith('.mp4'));
    await rm(path.join(folder, 'clips', copy));
    await page.reload();
    const dialog = page.getByRole('dialog');
    await dialog.getByText('Where is bench-week-0.mp4?').waitFor();
    await expectAccessible(page);
    await dialog.locator('input[type=file]').setInputFiles(demo('bench-week-3.mp4'));
    await dialog.getByText('bench-week-3.mp4 is another file.').waitFor();
    await dialog.locator('input[type=file]').setInputFiles(demo('bench-week-0.mp4'));
    await dialog.waitFor({ state: 'hidden' });
    await page.locator('.clip-picture').waitFor();
  }, 90_000);

  it('tell a page that another page has kept more since', async () => {
    const other = await page.context().newPage();
    await other.goto(page.url());
    await other.getByLabel('Name of the review').fill('From the other page');
    await other.getByText('Kept', { exact: true }).waitFor();
    await page.getByLabel('Name of the review').fill('From this page');
    await page.getByText('This review was changed in another window').waitFor();
    await other.close();
  }, 60_000);

  it('lose nothing older than a second when the program is killed', async () => {
    await page.reload();
    const title = page.getByLabel('Name of the review');
    await expect.poll(() => title.inputValue()).toBe('From the other page');
    await title.fill('Said before the crash');
    await page.waitForTimeout(1000);
    await open.app.kill();
    const again = await startApp(folder);
    try {
      await page.goto(again.address);
      await page.getByText('Said before the crash').first().waitFor();
    } finally {
      await again.stop();
    }
  }, 60_000);
});
