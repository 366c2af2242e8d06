import { mkdir, readdir, readFile } from 'node:fs/promises';
import { homedir, tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';
import { browserPath } from './browser.ts';
import { expectAccessible } from './open-app.ts';
import { peersOf } from './sockets.ts';
import { startedApp } from './started-app.ts';

const pictures = fileURLToPath(new URL('../../test-output/trust/', import.meta.url));

describe.skipIf(browserPath === null)('what the program is trusted with, in a browser', () => {
  const app = startedApp('trust');
  beforeAll(() => mkdir(pictures, { recursive: true }));
  const looks = async (name: string): Promise<void> => {
    await app.page.screenshot({ path: path.join(pictures, `${name}.png`) });
    await expectAccessible(app.page);
  };

  it('removes a lifter after a question, which says no by itself', async () => {
    await app.page.getByRole('button', { name: 'Lifters' }).click();
    await app.page.getByLabel('Find by name').fill('Ash Merrow');
    await app.page.getByRole('button', { name: 'New lifter' }).click();
    await app.page.getByRole('heading', { name: 'Ash Merrow' }).waitFor();
    const remove = app.page.getByRole('button', { name: 'Remove Ash Merrow…' });
    const question = app.page.getByRole('alertdialog', { name: 'Remove Ash Merrow for good?' });
    await remove.click();
    await question.waitFor();
    await looks('remove');
    await app.page.keyboard.press('Escape');
    await question.waitFor({ state: 'detached' });
    expect(await readdir(path.join(app.folder, 'lifters'))).toHaveLength(2);

    await remove.click();
    await question.getByRole('button', { name: 'Remove everything' }).click();
    await app.page.getByRole('heading', { name: 'Lifters' }).waitFor();
    await app.page.getByLabel('Find by name').fill('');
    await app.page.getByText('Rowan Teale').waitFor();
    expect(await app.page.getByText('Ash Merrow').count()).toBe(0);
    expect(await readdir(path.join(app.folder, 'lifters'))).toEqual(['demo-lifter']);
  });

  it('says what it is made of, each part with its licence in full, ffmpeg’s too', async () => {
    await app.page.getByRole('button', { name: 'About' }).click();
    const about = app.page.getByRole('dialog', { name: /^Lockstep \d+\.\d+\.\d+$/ });
    await about.getByText(/^Licences of the \d{3} parts$/).click();
    await about.getByRole('button', { name: /^ffmpeg\s+GPL-3.0-or-later$/ }).click();
    const text = about.getByLabel('Licence of ffmpeg');
    await text.waitFor();
    expect(await text.inputValue()).toMatch(/GNU GENERAL PUBLIC LICENSE\s+Version 3/);
    await looks('about');
  });

  it('shows a report before anybody sends it, with the log and without a path or a name', async () => {
    const about = app.page.getByRole('dialog');
    await about.getByText('When something went wrong').click();
    await about.getByRole('button', { name: 'Show the report' }).click();
    const report = about.getByLabel('The report');
    await report.waitFor();
    const text = await report.inputValue();
    expect(text).toMatch(/"shell":"browser",.*"msg":"started"/);
    for (const secret of [app.folder, tmpdir(), homedir(), 'Rowan', 'Merrow', 'demo'])
      expect(text).not.toContain(secret);
    const [download] = await Promise.all([
      app.page.waitForEvent('download'),
      about.getByRole('link', { name: 'Save the report' }).click(),
    ]);
    expect(await readFile(await download.path(), 'utf8')).toBe(text);
    await looks('report');
    await app.page.keyboard.press('Escape');
  });

  it('asked nobody but itself, from the first picture to the last', () => {
    const own = new URL(app.open.app.address).origin;
    expect([...app.open.asked.keys()]).toEqual([own]);
    // The page's line for events is open, so that there is something to see.
    expect([...new Set(peersOf(app.open.app.pid))]).toEqual(
      process.platform === 'linux' ? ['127.0.0.1'] : [],
    );
    process.stdout.write(`${app.open.asked.get(own)} requests of the page, all to ${own}\n`);
  });

  it('never complained in the browser', () => {
    expect(app.open.complaints).toEqual([]);
  });
});
