import { mkdir, mkdtemp, readdir, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { browserPath } from './browser.ts';
import { expectAccessible, openApp, type OpenApp } from './open-app.ts';

const pictures = fileURLToPath(new URL('../../test-output/trust/', import.meta.url));

describe.skipIf(browserPath === null)('what the program is trusted with, in a browser', () => {
  let folder: string;
  let open: OpenApp;
  let page: Page;

  beforeAll(async () => {
    folder = await mkdtemp(path.join(tmpdir(), 'lockstep-trust-'));
    await mkdir(pictures, { recursive: true });
    open = await openApp(folder);
    page = open.page;
  });
  afterAll(async () => {
    await open.close();
    await rm(folder, { recursive: true, force: true });
  });
  const looks = async (name: string): Promise<void> => {
    await page.screenshot({ path: path.join(pictures, `${name}.png`) });
    await expectAccessible(page);
  };

  it('removes a lifter after a question, which says no by itself', async () => {
    await page.getByRole('button', { name: 'Lifters' }).click();
    await page.getByLabel('Find by name').fill('Ash Merrow');
    await page.getByRole('button', { name: 'New lifter' }).click();
    await page.getByRole('heading', { name: 'Ash Merrow' }).waitFor();
    const remove = page.getByRole('button', { name: 'Remove Ash Merrow…' });
    const question = page.getByRole('alertdialog', { name: 'Remove Ash Merrow for good?' });
    await remove.click();
    await question.waitFor();
    await looks('remove');
    await page.keyboard.press('Escape');
    await question.waitFor({ state: 'detached' });
    expect(await readdir(path.join(folder, 'lifters'))).toHaveLength(2);

    await remove.click();
    await question.getByRole('button', { name: 'Remove everything' }).click();
    await page.getByRole('heading', { name: 'Lifters' }).waitFor();
    await page.getByLabel('Find by name').fill('');
    await page.getByText('Rowan Teale').waitFor();
    expect(await page.getByText('Ash Merrow').count()).toBe(0);
    expect(await readdir(path.join(folder, 'lifters'))).toEqual(['demo-lifter']);
  });

  it('never complained in the browser', () => {
    expect(open.complaints).toEqual([]);
  });
});
