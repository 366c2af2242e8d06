import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';
import { browserPath } from './browser.ts';
import { startedApp } from './started-app.ts';

const demo = (name: string): string => fileURLToPath(new URL(`../../demo-data/${name}`, import.meta.url));

/** What has the focus, as a screen reader names it, and whether a frame round it is seen. */
const focused = `(() => {
  const at = document.activeElement;
  const named = at.getAttribute('aria-label') ?? at.labels?.[0]?.innerText ?? at.innerText ?? '';
  return { name: named.trim().replace(/\\s+/g, ' '), role: at.getAttribute('role') ?? at.type ?? at.localName };
})()`;

describe.skipIf(browserPath === null)('the whole job by the keyboard alone', () => {
  const app = startedApp('keyboard');
  // Listening from the start: a listener that comes with the key may be in place after the file
  // chooser has opened, and then hears nothing of it.
  beforeAll(() => void app.page.on('filechooser', () => undefined));

  const at = () => app.page.evaluate<{ name: string; role: string }>(focused);
  /** Goes on by Tab until what has the focus is called so. */
  async function tabTo(name: RegExp, most = 60): Promise<void> {
    const met: string[] = [];
    for (let i = 0; i < most; i++) {
      await app.page.keyboard.press('Tab');
      const now = await at();
      if (name.test(now.name)) return;
      met.push(now.name.slice(0, 40));
    }
    throw new Error(`No way by Tab to ${name}; met ${met.join(' | ')}`);
  }
  async function choose(button: RegExp, file: string): Promise<void> {
    await tabTo(button);
    const [chooser] = await Promise.all([
      app.page.waitForEvent('filechooser'),
      app.page.keyboard.press('Enter'),
    ]);
    await chooser.setFiles(demo(file));
  }

  it('brings two clips in', async () => {
    await app.page.getByText('Demo: practice rep and heavy single').waitFor();
    await tabTo(/^New review$/);
    await app.page.keyboard.press('Enter');
    await app.page.getByText('Drop a clip here').first().waitFor();
    // The lifts are one stop for Tab; arrows choose among them.
    await tabTo(/^(Squat|Bench press|Deadlift)$/);
    for (let i = 0; i < 3 && (await at()).name !== 'Bench press'; i++)
      await app.page.keyboard.press('ArrowRight');
    await app.page.keyboard.press(' ');
    expect(await at()).toMatchObject({ name: 'Bench press' });
    await choose(/^Choose a clip$/, 'bench-week-0.mp4');
    await app.page.getByText('960 × 540, 30 frames a second').first().waitFor();
    await choose(/^Choose a clip$/, 'bench-week-10.mp4');
    await expect.poll(() => app.page.getByText('960 × 540, 30 frames a second').count()).toBe(2);
  }, 60_000);

  it('compares them, and goes to the moment of a change', async () => {
    await tabTo(/^Compare the two$/);
    await app.page.keyboard.press('Enter');
    await app.page.locator('.line-up').waitFor({ timeout: 240_000 });
    await expect.poll(() => app.page.locator('canvas[data-frame]').count(), { timeout: 60_000 }).toBe(2);
    const label = () => app.page.locator('canvas.reference').getAttribute('aria-label');
    const before = await label();
    await tabTo(/descent/i, 90);
    await app.page.keyboard.press('Enter');
    await expect.poll(label).not.toBe(before);
    const frame = async () => Number(/frame (\d+)/.exec((await label())!)![1]);
    const there = await frame();
    await app.page.keyboard.press('ArrowRight');
    await expect.poll(frame).toBe(there + 1);
    await app.page.keyboard.press('?');
    await app.page.getByRole('dialog').waitFor();
    await app.page.keyboard.press('Escape');
    await app.page.getByRole('dialog').waitFor({ state: 'hidden' });
  }, 300_000);

  it('makes the page and takes it along', async () => {
    await app.page.keyboard.press('Alt+5');
    await app.page.getByRole('heading', { name: 'Hand back' }).waitFor();
    await tabTo(/^Film/, 120);
    await app.page.keyboard.press(' ');
    const make = app.page.getByRole('button', { name: 'Make the page', exact: true });
    await expect.poll(() => make.isEnabled(), { timeout: 60_000 }).toBe(true);
    await tabTo(/^Make the page$/);
    await app.page.keyboard.press('Enter');
    await app.page.getByRole('link', { name: 'page.html', exact: true }).waitFor({ timeout: 120_000 });
    await tabTo(/^Download page\.html$/);
    const [download] = await Promise.all([
      app.page.waitForEvent('download'),
      app.page.keyboard.press('Enter'),
    ]);
    expect(await readFile(await download.path(), 'utf8')).toMatch(/^<!doctype html>[^]*descent/i);
    expect(app.open.complaints).toEqual([]);
  }, 240_000);
});
