import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { menuSchema } from '../../shared-lib/contract/menu.ts';
import { browserPath, launchBrowser } from './browser.ts';
import { startApp } from './start-app.ts';

/** What the preload offers, with the loopback server behind it in place of Electron's other process. */
const standIn = `window.said = { menus: [], choose: () => undefined };
window.lockstep = {
  call: (message) => fetch('/call', { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify(message) }).then((r) => r.json()),
  stop: () => undefined,
  listen: () => () => undefined,
  place: () => Promise.reject(new Error('not here')),
  pathOf: () => '',
  showMenu: (list) => window.said.menus.push(list),
  onChosen: (listener) => { window.said.choose = listener; return () => undefined; },
};`;

describe.skipIf(browserPath === null)('the page in the window', () => {
  let folder: string;
  let app: Awaited<ReturnType<typeof startApp>>;
  let browser: Awaited<ReturnType<typeof launchBrowser>>;

  beforeAll(async () => {
    folder = await mkdtemp(path.join(tmpdir(), 'lockstep-window-page-'));
    app = await startApp(folder);
    browser = await launchBrowser();
  });
  afterAll(async () => {
    await browser.close();
    await app.stop();
    await rm(folder, { recursive: true, force: true });
  });

  it('gives the window’s menu the list that its own menu shows, on every screen, and does what is chosen there', async () => {
    const page = await browser.newPage();
    await page.addInitScript(standIn);
    await page.goto(app.address);
    await page.getByText('Demo: practice rep and heavy single').waitFor();
    const shown = async (): Promise<[string, boolean][]> => {
      await page.getByRole('button', { name: 'Menu' }).click();
      await page.locator('[data-label="Take back"]').waitFor();
      const labels = await page.evaluate<[string, boolean][]>(
        "[...document.querySelectorAll('[role=menu] [data-label]')].map((one) => [one.dataset.label, one.getAttribute('aria-disabled') !== 'true'])",
      );
      await page.keyboard.press('Escape');
      return labels;
    };
    const told = async (): Promise<[string, boolean][]> => {
      const list = menuSchema.parse(await page.evaluate('window.said.menus.at(-1)'));
      return list.flatMap(({ items }) =>
        items.map(({ label, enabled }): [string, boolean] => [label, enabled]),
      );
    };
    await expect.poll(told).toEqual(await shown());
    expect((await told()).map(([label]) => label)).toContain('New review');

    await page.evaluate("window.said.choose('New review')");
    await page.getByText('Drop a clip here').first().waitFor();
    await expect.poll(told).toEqual(await shown());
    const here = await told();
    expect(here).toContainEqual(['Go to Line up', true]);
    expect(here).toContainEqual(['Take back', false]);
    await page.getByText('Deadlift').click();
    await expect.poll(told).toContainEqual(['Take back', true]);
    await page.evaluate("window.said.choose('Dark')");
    expect(await page.evaluate('document.documentElement.dataset.theme')).toBe('dark');
    await page.close();
  }, 60_000);
});
