import { mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { browserPath } from './browser.ts';
import { openApp, type OpenApp } from './open-app.ts';

const oldFile = (version: number): string =>
  fileURLToPath(new URL(`../unit/reviews/old-files/review-${version}.json`, import.meta.url));

const idOf = (version: number): string => `2026-03-0${version}-0a1b2c3d`;

describe.skipIf(browserPath === null)('what is kept of lifters and reviews, in a browser', () => {
  let root: string;
  let there: OpenApp;

  beforeAll(async () => {
    root = await mkdtemp(path.join(tmpdir(), 'lockstep-kept-'));
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
    await there.close();
    await rm(root, { recursive: true, force: true });
  });

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
