import { readdir, rm } from 'node:fs/promises';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { browserPath } from './browser.ts';
import { expectAccessible } from './open-app.ts';
import { startApp } from './start-app.ts';
import { startedApp } from './started-app.ts';

const demo = (name: string): string => fileURLToPath(new URL(`../../demo-data/${name}`, import.meta.url));

describe.skipIf(browserPath === null)('reviews that are kept', () => {
  const app = startedApp('desk');

  const row = (name: string) => app.page.locator('.review-row', { hasText: name });
  const more = async (name: string, what: string): Promise<void> => {
    await app.page.getByRole('button', { name: `More for ${name}` }).click();
    await app.page.getByRole('menuitem', { name: what }).click();
  };

  it('are renamed and removed from the list, each taken back by a key or a press', async () => {
    await row('Demo: six weeks on').waitFor();
    await more('Demo: six weeks on', 'Rename');
    await app.page.getByLabel('New name of Demo: six weeks on').fill('Paused singles');
    await app.page.keyboard.press('Enter');
    await row('Paused singles').waitFor();
    await app.page.keyboard.press('Control+z');
    await row('Demo: six weeks on').waitFor();
    await more('Demo: six weeks on', 'Remove');
    await expect.poll(() => row('Demo: six weeks on').count()).toBe(0);
    for (const colorScheme of ['light', 'dark'] as const) {
      await app.page.emulateMedia({ colorScheme });
      await expectAccessible(app.page);
    }
    await app.page.getByRole('button', { name: 'Take back' }).click();
    await row('Demo: six weeks on').waitFor();
  }, 60_000);

  it('ask for a clip whose file is gone, and take it by its content alone', async () => {
    await app.page.getByRole('button', { name: 'New review' }).click();
    await app.page.locator('input[type=file]').nth(1).setInputFiles(demo('bench-week-0.mp4'));
    await app.page.getByText('bench-week-0.mp4').first().waitFor();
    await app.page.locator('.clip-picture').waitFor();
    await app.page.getByText('Kept', { exact: true }).waitFor();
    const [copy] = (await readdir(path.join(app.folder, 'clips'))).filter((name) => name.endsWith('.mp4'));
    await rm(path.join(app.folder, 'clips', copy));
    await app.page.reload();
    const dialog = app.page.getByRole('dialog');
    await dialog.getByText('Where is bench-week-0.mp4?').waitFor();
    await expectAccessible(app.page);
    await dialog.locator('input[type=file]').setInputFiles(demo('bench-week-3.mp4'));
    await dialog.getByText('bench-week-3.mp4 is another file.').waitFor();
    await dialog.locator('input[type=file]').setInputFiles(demo('bench-week-0.mp4'));
    await dialog.waitFor({ state: 'hidden' });
    await app.page.locator('.clip-picture').waitFor();
  }, 90_000);

  it('tell a page that another page has kept more since', async () => {
    const other = await app.page.context().newPage();
    await other.goto(app.page.url());
    await other.getByLabel('Name of the review').fill('From the other page');
    await other.getByText('Kept', { exact: true }).waitFor();
    await app.page.getByLabel('Name of the review').fill('From this page');
    await app.page.getByText('This review was changed in another window').waitFor();
    await other.close();
  }, 60_000);

  it('lose nothing older than a second when the program is killed', async () => {
    await app.page.reload();
    const title = app.page.getByLabel('Name of the review');
    await expect.poll(() => title.inputValue()).toBe('From the other page');
    await title.fill('Said before the crash');
    await app.page.waitForTimeout(1000);
    await app.open.app.kill();
    const again = await startApp(app.folder);
    try {
      await app.page.goto(again.address);
      await app.page.getByText('Said before the crash').first().waitFor();
    } finally {
      await again.stop();
    }
  }, 60_000);
});
