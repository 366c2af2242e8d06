import { mkdir, mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { browserPath } from './browser.ts';
import { expectAccessible, openApp, type OpenApp } from './open-app.ts';

const pictures = fileURLToPath(new URL('../../test-output/bodies/', import.meta.url));

describe.skipIf(browserPath === null)('the body and the rules beside the pair', () => {
  let folder: string;
  let open: OpenApp;
  let page: Page;

  beforeAll(async () => {
    folder = await mkdtemp(path.join(tmpdir(), 'lockstep-bodies-'));
    await mkdir(pictures, { recursive: true });
    open = await openApp(folder);
    page = open.page;
  });
  afterAll(async () => {
    await open.close();
    await rm(folder, { recursive: true, force: true });
  });

  const said = () => page.locator('.body-said').innerText();
  const picture = () => page.locator('.mark-picture');

  it('opens with what referees look at, who decides, and why the load explains nothing yet', async () => {
    await page.getByText('Demo: practice rep and heavy single').click();
    await page.getByRole('button', { name: 'Line up', exact: true }).first().click();
    await page.locator('.line-up').waitFor({ timeout: 300_000 });
    await page.getByRole('button', { name: 'Body and rules' }).click();
    await picture().waitFor({ timeout: 300_000 });
    const words = await said();
    expect(words).toMatch(/current rulebook is the authority/);
    expect(words).toMatch(/This clip: The bar stayed within the still speed at the chest for \d\.\d\d s/);
    expect(words).toMatch(/nobody said so|within 5 %|both loads/);
    expect(words).not.toMatch(/good lift|no lift/i);
  }, 600_000);

  it('measures where the bar is over the shoulder from one mark in each rep, in words', async () => {
    for (const who of ['Today', 'Reference']) {
      await page.getByRole('radio', { name: who, exact: true }).check({ force: true });
      await picture().waitFor();
      const box = (await picture().boundingBox())!;
      await picture().click({ position: { x: box.width * 0.45, y: box.height * 0.6 } });
    }
    await expect
      .poll(said, { timeout: 60_000 })
      .toMatch(/Bar against the shoulder joint at the start: .*\d ± \d\.\d cm/);
    await page.screenshot({ path: path.join(pictures, 'bodies.png') });
    await expectAccessible(page);
  }, 120_000);

  it('moves a mark by keys, a pixel at a time, and takes it away', async () => {
    const at = async () => Number(await page.locator('.mark.chosen circle').last().getAttribute('cx'));
    const before = await at();
    await picture().focus();
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('Shift+ArrowRight');
    await expect.poll(at).toBeCloseTo(before + 11, 6);
    await page.keyboard.press('Delete');
    await expect.poll(() => page.locator('.mark.chosen').count()).toBe(0);
  });
});
