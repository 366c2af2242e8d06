import { mkdir, mkdtemp, readdir, readFile, rm } from 'node:fs/promises';
import { homedir, tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { browserPath } from './browser.ts';
import { expectAccessible, openApp, type OpenApp } from './open-app.ts';
import { peersOf } from './sockets.ts';

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

  it('says what it is made of, each part with its licence in full, ffmpeg’s too', async () => {
    await page.getByRole('button', { name: 'About' }).click();
    const about = page.getByRole('dialog', { name: /^Lockstep \d+\.\d+\.\d+$/ });
    await about.getByText(/^Licences of the \d{3} parts$/).click();
    await about.getByRole('button', { name: /^ffmpeg\s+GPL-3.0-or-later$/ }).click();
    const text = about.getByLabel('Licence of ffmpeg');
    await text.waitFor();
    expect(await text.inputValue()).toMatch(/GNU GENERAL PUBLIC LICENSE\s+Version 3/);
    await looks('about');
  });

  it('shows a report before anybody sends it, with the log and without a path or a name', async () => {
    const about = page.getByRole('dialog');
    await about.getByText('When something went wrong').click();
    await about.getByRole('button', { name: 'Show the report' }).click();
    const report = about.getByLabel('The report');
    await report.waitFor();
    const text = await report.inputValue();
    expect(text).toMatch(/"shell":"browser",.*"msg":"started"/);
    for (const secret of [folder, tmpdir(), homedir(), 'Rowan', 'Merrow', 'demo'])
      expect(text).not.toContain(secret);
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      about.getByRole('link', { name: 'Save the report' }).click(),
    ]);
    expect(await readFile(await download.path(), 'utf8')).toBe(text);
    await looks('report');
    await page.keyboard.press('Escape');
  });

  it('asked nobody but itself, from the first picture to the last', () => {
    const own = new URL(open.app.address).origin;
    expect([...open.asked.keys()]).toEqual([own]);
    // The page's line for events is open, so that there is something to see.
    expect([...new Set(peersOf(open.app.pid))]).toEqual(process.platform === 'linux' ? ['127.0.0.1'] : []);
    process.stdout.write(`${open.asked.get(own)} requests of the page, all to ${own}\n`);
  });

  it('never complained in the browser', () => {
    expect(open.complaints).toEqual([]);
  });
});
