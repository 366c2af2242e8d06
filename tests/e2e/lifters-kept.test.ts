import { mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { browserPath } from './browser.ts';
import { expectAccessible, openApp, type OpenApp } from './open-app.ts';

const oldFile = (version: number): string =>
  fileURLToPath(new URL(`../unit/reviews/old-files/review-${version}.json`, import.meta.url));

const idOf = (version: number): string => `2026-03-0${version}-0a1b2c3d`;

describe.skipIf(browserPath === null)('what is kept of lifters and reviews, in a browser', () => {
  let root: string;
  let here: OpenApp;
  let there: OpenApp;

  beforeAll(async () => {
    root = await mkdtemp(path.join(tmpdir(), 'lockstep-kept-'));
    here = await openApp(path.join(root, 'here'));
    // Reviews as earlier versions wrote them, one of each.
    for (const version of [1, 2]) {
      const folder = path.join(root, 'there', 'reviews', idOf(version));
      await mkdir(folder, { recursive: true });
      const text = (await readFile(oldFile(version), 'utf8')).replace(idOf(1), idOf(version));
      await writeFile(path.join(folder, 'review.json'), text);
    }
    there = await openApp(path.join(root, 'there'));
  });
  afterAll(async () => {
    await here.close();
    await there.close();
    await rm(root, { recursive: true, force: true });
  });

  const toLifters = (page: Page): Promise<void> => page.getByRole('button', { name: 'Lifters' }).click();
  const find = (page: Page, words: string): Promise<void> =>
    page.getByLabel('Find by name, federation or notes').fill(words);

  it('takes best lifts, federation and notes, and finds the lifter by them', async () => {
    const { page } = here;
    await toLifters(page);
    await page.getByText('Rowan Teale').click();
    const about = page.getByRole('region', { name: 'About the lifter' });
    // Kept late, as where a machine has much else to do: leaving the page must lose nothing.
    await page.route('**/call', async (route) => {
      if (route.request().postData()?.includes('"keepLifter"')) await setTimeout(700);
      await route.continue();
    });
    await about.getByLabel('Best squat, kg').fill('142,5');
    await about.getByLabel('Federation whose rulebook applies').fill('Harbour Lane Open');
    await about.locator('textarea').fill('Trains before work; left-handed.');
    await page.getByRole('button', { name: 'All lifters' }).click();
    for (const words of ['harbour lane', 'left-handed', 'teale']) {
      await find(page, words);
      await page.getByText('Rowan Teale').waitFor();
    }
    await find(page, 'nobody of that name');
    await page.getByText('No lifter’s name, federation or notes hold that.').waitFor();
    await expectAccessible(page);
  }, 60_000);

  it('opens a review of every earlier version with its words and its loads', async () => {
    const { page } = there;
    const { origin } = new URL(there.app.address);
    for (const version of [1, 2]) {
      await page.goto(`${origin}/#${idOf(version)}`);
      await page.reload();
      await expect
        .poll(() => page.getByLabel('Name of the review').inputValue(), { timeout: 30_000 })
        .toBe('Bench, first week');
      await page.getByRole('button', { name: 'Bring in', exact: true }).click();
      await page.getByText('About the lifter and the question').click();
      expect(await page.getByLabel('What the lifter asks').inputValue()).toBe(
        'Why is it slow off the chest?',
      );
      expect(await page.getByLabel('Load on the bar, kg').first().inputValue()).toBe('90');
    }
  }, 90_000);
});
